import type { Person } from '../../domain/erasure/without-person.ts';
import { withoutPerson } from '../../domain/erasure/without-person.ts';
import type { Sql } from '../../store/database/sql.ts';
import { rewriteTrail, trailAbout } from '../../store/trail/trail-rows.ts';

/** Records that are about the person and nothing else: of their values none stays. */
const ABOUT_THE_PERSON = ['owner', 'call_entry'];
const GONE = '(erased)';

/**
 * Takes a person out of the trail: that something was changed, when and by whom, stays. Call it when
 * all else about the owner is erased, for erasing leaves a trail as well.
 */
export async function eraseFromTrail(
  sql: Sql,
  owner: { readonly id: string; readonly organisationId: string },
  person: Person,
): Promise<void> {
  for (const { id, kind, was, becomes } of await trailAbout(sql, owner)) {
    const cleaned = (json: string | null) => (json === null ? null : without(json, kind, person));
    const left = { id, was: cleaned(was), becomes: cleaned(becomes) };
    if (left.was !== was || left.becomes !== becomes) await rewriteTrail(sql, left);
  }
}

function without(json: string, kind: string, person: Person): string {
  const values = Object.entries(JSON.parse(json) as Record<string, unknown>);
  const left = values.map(([column, value]) => {
    if (typeof value !== 'string') return [column, value];
    return [column, ABOUT_THE_PERSON.includes(kind) ? GONE : withoutPerson(value, person)];
  });
  return JSON.stringify(Object.fromEntries(left));
}
