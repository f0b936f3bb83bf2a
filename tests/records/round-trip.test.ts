import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { newLink, withoutTokens } from '../../src/usecases/context/links.ts';
import { columnsOf, ORGANISATION, RECORD_SETS } from '../../src/usecases/records/record-sets.ts';
import { onSqlite } from '../setup/databases.ts';
import { NOW } from './lived-in.ts';
import { tryRoundTrip } from './round-trip.ts';

// What an import does over records that have it already is `round-trip.long.test.ts`.
onSqlite('an export', (databases) => tryRoundTrip(databases, false));

describe('what an export holds', () => {
  /** Left out of every export, each for a reason. */
  const LEFT_OUT: Readonly<Record<string, readonly string[] | 'all'>> = {
    access_key: 'all',
    key_car: 'all',
    link: 'all',
    car_tie: 'all',
    share: 'all',
    session: 'all',
    person: 'all',
    passkey: 'all',
    recovery_code: 'all',
    invitation: 'all',
    person_session: 'all',
    sign_in_step: 'all',
    sign_in_try: 'all',
    sign_in: 'all',
    idempotent_answer: 'all',
    round_fault: 'all',
    import_run: 'all',
    column_meaning: 'all',
    owner: ['addressHash'],
    car: ['lookAt', 'lookedAt'],
    holder: 'all',
    car_kept: 'all',
    organisation_kept: 'all',
    moved: 'all',
    round_held: 'all',
    letter: ['stopUrl', 'nextTryAt', 'leaseUntil', 'leaseToken', 'leaseHolder'],
  };

  /** The columns of a table that a set holds, as its own or as those that stand beside it. */
  const exported = (table: string): string[] => {
    const set = [ORGANISATION, ...RECORD_SETS].find((one) => one.table === table);
    if (set !== undefined) {
      const elsewhere = 'beside' in set ? (set.beside?.columns ?? []) : [];
      return columnsOf(set).filter((column) => !elsewhere.includes(column));
    }
    const beside = RECORD_SETS.find((one) => one.beside?.table === table)?.beside;
    return beside === undefined ? [] : [beside.id, ...beside.columns];
  };

  it('is every column of every table but those left out by name', () => {
    const models = readFileSync(new URL('../../prisma/models.prisma', import.meta.url), 'utf8');
    for (const [, body = ''] of models.matchAll(/^model \w+ \{\n([\s\S]*?)^\}/gm)) {
      const table = /@@map\("(\w+)"\)/.exec(body)?.[1] ?? '';
      const left = LEFT_OUT[table];
      if (left === 'all') continue;
      const columns = [...body.matchAll(/^ {2}(\w+) +(?:String|Int|Float|Boolean)\b/gm)]
        .map(([, column = '']) => column)
        .filter((column) => column !== 'organisationId' && left?.includes(column) !== true);
      expect({ table, columns: exported(table) }).toEqual({ table, columns });
    }
  });

  it('has no token of any link that can be made', () => {
    for (const purpose of ['stop', 'owner-page', 'diary', 'book', 'care-day'] as const) {
      const link = { organisationId: 'o', ownerId: null, carId: null, subject: null, purpose };
      const { url } = newLink('https://care.example.org', NOW, link);
      const text = withoutTokens(`See <${url}?week=2026-W36>.`);
      expect(text).toMatch(/left-out/);
      expect(text).not.toMatch(/[\w-]{40}/);
    }
  });
});
