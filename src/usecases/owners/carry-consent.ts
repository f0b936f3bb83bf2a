import type { Instant } from '../../domain/calendar/instant.ts';
import { isByConsent, TOPICS } from '../../domain/round/letter-kind.ts';
import {
  appendConsent,
  consentEntries,
  lockRefusedTopics,
  refusedTopics,
  storeRefusedTopics,
} from '../../store/owners/consent-rows.ts';
import { flag } from '../../store/database/sql.ts';
import type { Sql } from '../../store/database/sql.ts';
import { newId } from '../context/new-id.ts';
import { hasAgreed } from '../own/agreed.ts';

const WORDS = 'Said at the former address, and carried over when the address was changed.';

/**
 * Carries over what an owner refused and agreed to when her address is changed: the wish is hers, the
 * address is only where she is reached. What was said at the new address by itself stands. Call it in the
 * transaction that changes the address.
 */
export async function carryConsent(
  sql: Sql,
  owner: { readonly organisationId: string; readonly id: string },
  { from, to }: { readonly from: string; readonly to: string },
  at: Instant,
): Promise<void> {
  const { organisationId, id: ownerId } = owner;
  const before = { organisationId, addressHash: from };
  const after = { organisationId, addressHash: to };
  const entries = await consentEntries(sql, before);
  const decided = new Set((await consentEntries(sql, after)).map(({ topic }) => topic));
  const refusedBefore = await refusedTopics(sql, before);
  const refused = await lockRefusedTopics(sql, after);
  const open = TOPICS.filter((topic) => !decided.has(topic) && !refused.includes(topic));
  const refuses = open.filter((topic) => refusedBefore.includes(topic));
  const agrees = open.filter(
    (topic) => isByConsent(topic) && !refuses.includes(topic) && hasAgreed(entries, topic),
  );
  const carried = [...refuses, ...agrees];
  if (carried.length === 0) return;
  await storeRefusedTopics(sql, after, [...refused, ...refuses]);
  await appendConsent(
    sql,
    carried.map((topic) => {
      const given = agrees.includes(topic);
      const said = entries.findLast((one) => one.topic === topic && flag(one.given) === given);
      const by = said?.by ?? `owner:${ownerId}`;
      return { id: newId(), ...after, ownerId, topic, given, at, by, words: WORDS };
    }),
  );
}
