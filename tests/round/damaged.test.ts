import { afterEach, beforeEach, expect, it } from 'vitest';
import { programCaller } from '../../src/usecases/context/context.ts';
import { readToday } from '../../src/usecases/day/today-page.ts';
import { countLetters } from '../../src/usecases/organisations/readiness.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

const NOW = '2026-06-08T09:00:00.000Z';

/** What a faulty program, a hand in the database or a bad sector leaves behind, column by column. */
const DAMAGE: readonly (readonly [table: string, column: string, value: string])[] = [
  ['owner', 'language', 'en-GB-GB'],
  ['owner', 'timeZone', 'Nowhere/Land'],
  ['owner', 'name', ''],
  ['car', 'timeZone', ''],
  ['car', 'place', 'under the sea'],
  ['car', 'registration', 'a\nb'],
  ['top', 'because', '{'],
  ['top', 'warranties', 'none'],
  ['top', 'dueOn', '2026-13-45'],
  ['top', 'fittedOn', 'yesterday'],
  ['position_entry', 'at', 'noon'],
];

eachDatabase('a round over records of which one is damaged', ({ open }) => {
  let shop: Workshop;
  let damaged: Awaited<ReturnType<typeof fitted>>;
  beforeEach(async () => {
    shop = await open(NOW);
    const car = (name: string) =>
      fitted(shop, {
        owner: { name, email: `${name.toLowerCase()}@example.org` },
        car: { registration: name.toUpperCase() },
        top: { fittedOn: '2025-04-20' },
      });
    const cars = [await car('Ada'), await car('Bea'), await car('Cleo'), await car('Dora')];
    for (const { carId } of cars) {
      await shop.post(`/v1/cars/${carId}/position`, {
        position: 'folded',
        at: '2026-06-02T08:00:00Z',
      });
    }
    damaged = cars[1] as typeof damaged;
  });
  afterEach(() => shop.close());

  it.each(DAMAGE)('writes to all others where %s.%s is %j', async (table, column, value) => {
    const whose =
      table === 'owner' ? damaged.ownerId : table === 'top' ? damaged.topId : damaged.carId;
    const key = table === 'position_entry' ? 'carId' : 'id';
    const changed = await shop.context.store.writeSql((sql) =>
      sql.run(`UPDATE "${table}" SET "${column}" = ? WHERE "${key}" = ?`, [value, whose]),
    );
    expect(changed).toBe(1);
    const { letters, setAside } = await planRound(shop.context);
    const others = letters.filter(({ ownerId }) => ownerId !== damaged.ownerId);
    expect(others.map(({ kind, to }) => `${kind} ${to.name}`).sort()).toEqual(
      ['Ada', 'Cleo', 'Dora']
        .flatMap((name) => [`folded-over ${name}`, `lubrication-late ${name}`])
        .sort(),
    );
    const mine = letters.filter(({ ownerId }) => ownerId === damaged.ownerId);
    // Whatever cannot be read is said; what can be lived with gets its letters.
    expect(setAside === 1 || mine.length > 0).toBe(true);
    const organisation = await shop.context.store.records.organisation.findFirstOrThrow();
    const caller = programCaller(organisation.id, 'test');
    expect((await countLetters(shop.context)).setAside).toBe(setAside);
    if (setAside === 0 || ['car', 'top', 'position_entry'].includes(table)) return;
    const { letters: told } = await readToday(shop.context, caller);
    expect(told.setAside.map(({ name }) => name)).toHaveLength(1);
  });

  it('comes back to whom it set aside, once the record is put right', async () => {
    const set = (language: string) =>
      shop.context.store.writeSql((sql) =>
        sql.run('UPDATE "owner" SET "language" = ? WHERE "id" = ?', [language, damaged.ownerId]),
      );
    await set('en-GB-GB');
    expect((await planRound(shop.context)).setAside).toBe(1);
    expect(await planRound(shop.context)).toMatchObject({ planned: 0, setAside: 1 });
    await set('en-GB');
    const { letters, setAside } = await planRound(shop.context);
    expect(setAside).toBe(0);
    expect(new Set(letters.map(({ ownerId }) => ownerId))).toEqual(new Set([damaged.ownerId]));
    expect((await countLetters(shop.context)).setAside).toBe(0);
  });

  it('refuses what only looks like a language', async () => {
    const answer = await shop.post('/v1/owners', {
      name: 'Eve',
      email: 'eve@example.org',
      language: 'en-GB-GB',
    });
    expect(answer.status).toBe(400);
    expect(answer.body.errors[0].pointer).toBe('#/language');
  });
});
