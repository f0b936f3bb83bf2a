import { afterEach, beforeEach, expect, it } from 'vitest';
import { openStore } from '../../src/store/database/open-store.ts';
import { insertRows } from '../../src/store/database/sql.ts';
import type { Store } from '../../src/store/database/store.ts';
import { topsDueBy } from '../../src/store/tops/top-rows.ts';
import { eachDatabase } from '../setup/databases.ts';

const AT = '2026-01-01T00:00:00.000Z';
const ZONE = { timeZone: 'Europe/London', createdAt: AT };
const UNTIL = '2026-06-14';
const DAYS = ['2026-06-11', '2026-06-12', '2026-06-13', '2026-06-14', '2026-06-15'];
// Most share the second day; ids go up and down against the days, and every seventh top is off its car.
const TOPS = Array.from({ length: 60 }, (_, i) => ({
  id: `t${String((i * 37) % 61).padStart(2, '0')}`,
  carId: `c${i}`,
  dueOn: i % 3 === 0 ? (DAYS[i % DAYS.length] ?? UNTIL) : '2026-06-12',
  retiredOn: i % 7 === 0 ? '2026-02-01' : null,
  organisationId: i % 5 === 4 ? 'other' : 'own',
}));

eachDatabase('the list of what is due', (databases) => {
  let store: Store;

  beforeEach(async () => {
    store = await openStore(await databases.fresh());
    const others = { kind: 'shop', language: 'en', ...ZONE };
    const person = { name: 'Owner', email: 'owner@example.org', addressHash: 'h', language: 'en' };
    const made = {
      framePattern: 'four-seat-manual',
      material: 'cloth',
      window: 'glass',
      powered: false,
      intervalMonths: 12,
      because: '[]',
      fittedOn: '2025-06-12',
      createdAt: AT,
    };
    await store.writeSql(async (sql) => {
      const ids = ['own', 'other'];
      await insertRows(
        sql,
        'organisation',
        ids.map((id) => ({ id, name: id, ...others })),
      );
      await insertRows(
        sql,
        'owner',
        ids.map((organisationId) => ({
          id: `of-${organisationId}`,
          organisationId,
          ...person,
          ...ZONE,
        })),
      );
      await insertRows(
        sql,
        'car',
        TOPS.map(({ carId: id, organisationId }) => ({
          id,
          organisationId,
          ownerId: `of-${organisationId}`,
          registration: id,
          foldedLimitDays: 3,
          ...ZONE,
        })),
      );
      await insertRows(
        sql,
        'top',
        TOPS.map((top) => ({ ...made, ...top })),
      );
    });
  });
  afterEach(() => store.close());

  it('is the same whatever the size of its pages, also where many share a day', async () => {
    const due = TOPS.filter(
      ({ organisationId, retiredOn, dueOn }) =>
        organisationId === 'own' && retiredOn === null && dueOn <= UNTIL,
    ).toSorted((a, b) => (`${a.dueOn} ${a.id}` < `${b.dueOn} ${b.id}` ? -1 : 1));
    expect(due.length).toBeGreaterThan(30);
    expect(due.filter(({ dueOn }) => dueOn === '2026-06-12').length).toBeGreaterThan(20);
    for (const most of [1, 2, 7, 25, 100]) {
      const listed: string[] = [];
      let after = { day: '', id: '' };
      for (;;) {
        const page = await topsDueBy(store.sql, 'own', { until: UNTIL, after, most });
        listed.push(...page.map(({ id }) => id));
        const last = page.at(-1);
        if (last === undefined) break;
        after = { day: last.dueOn, id: last.id };
      }
      expect(listed).toEqual(due.map(({ id }) => id));
    }
  });
});
