import pg from 'pg';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { revokeOwnerLinks } from '../../src/usecases/owners/owner-links.ts';
import { insertRows } from '../../src/store/database/sql.ts';
import { holdCars } from '../../src/store/database/car-lock.ts';
import { lockCarsOnDay } from '../../src/store/care-days/place-rows.ts';
import { addCar } from '../../src/usecases/cars/add-car.ts';
import { logPosition } from '../../src/usecases/cars/log-position.ts';
import { changeCar } from '../../src/usecases/cars/change-car.ts';
import { sellCar } from '../../src/usecases/owners/sell-car.ts';
import { programCaller } from '../../src/usecases/context/context.ts';
import { planDiary } from '../../src/usecases/diary/plan-diary.ts';
import { recordVisit } from '../../src/usecases/visits/record-visit.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { postgresqlDatabases } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

// One owner with two cars, the first one by id not concerned, and somebody who holds that first car
// while two deeds line up behind. PostgreSQL breaks a circle of waiting by failing one of them
// (error 40P01), which is what the deeds must never run into.
describe('two deeds about one owner at once (PostgreSQL)', () => {
  const fresh = postgresqlDatabases();
  let shop: Workshop;
  let watcher: pg.Client;
  let holder: pg.Client;
  beforeEach(async () => {
    const url = await fresh();
    shop = await openWorkshop('2026-06-12T09:00:00.000Z', url);
    [watcher, holder] = [
      new pg.Client({ connectionString: url }),
      new pg.Client({ connectionString: url }),
    ];
    await Promise.all([watcher.connect(), holder.connect()]);
  });
  afterEach(async () => {
    await Promise.all([watcher.end(), holder.end()]);
    await shop.close();
  });

  /** Starts deeds one after the other, each when the one before waits, then lets go of the car. */
  async function lineUp(carId: string, deeds: readonly (() => Promise<unknown>)[]) {
    await holder.query('BEGIN');
    await holder.query('SELECT 1 FROM "car" WHERE "id" = $1 FOR UPDATE', [carId]);
    const running: Promise<unknown>[] = [];
    for (const deed of deeds) {
      running.push(deed());
      await expect.poll(waiting, { timeout: 5_000 }).toBe(running.length);
    }
    await holder.query('COMMIT');
    const ends = await Promise.allSettled(running);
    return ends.map((end) => (end.status === 'rejected' ? String(end.reason) : 'done'));
  }

  async function waiting(): Promise<number> {
    const { rows } = await watcher.query(
      `SELECT COUNT(*)::int AS n FROM pg_stat_activity WHERE datname = current_database() AND wait_event_type = 'Lock'`,
    );
    return rows[0].n;
  }

  async function ownerOfTwo(dueOf: { first: string; second: string }) {
    const first = await fitted(shop, { top: { fittedOn: dueOf.first } });
    const { ownerId } = first;
    const car = { ownerId, registration: 'FK 2' };
    const second = await fitted(shop, { car, top: { fittedOn: dueOf.second } });
    const owner = await shop.context.store.records.owner.findUniqueOrThrow({
      where: { id: ownerId },
    });
    return { first, second, caller: programCaller(owner.organisationId, 'test'), ownerId };
  }

  it('offers for the second car, and an end of the owner’s links', async () => {
    const { first, caller, ownerId } = await ownerOfTwo({
      first: '2026-06-01',
      second: '2025-06-24',
    });
    const ends = await lineUp(first.carId, [
      () => revokeOwnerLinks(shop.context, caller, ownerId),
      () => planDiary(shop.context, caller, { weeks: 8, apply: true }),
    ]);
    expect(ends).toEqual(['done', 'done']);
    expect(await shop.context.store.records.offer.count()).toBe(1);
  });

  it('a visit of the second car that makes a letter about both untrue', async () => {
    const due = { first: '2025-07-08', second: '2025-07-08' };
    const { first, second, caller, ownerId } = await ownerOfTwo(due);
    await planRound(shop.context);
    const letters = (await shop.get('/v1/letters')).body.items;
    expect(letters.map(({ state }: { state: string }) => state)).toEqual(['planned']);
    const ends = await lineUp(first.carId, [
      () => revokeOwnerLinks(shop.context, caller, ownerId),
      () =>
        recordVisit(shop.context, caller, second.topId, {
          kind: 'lubrication',
          doneOn: '2026-06-12',
        }),
    ]);
    expect(ends).toEqual(['done', 'done']);
  });

  it('a change of the second car, and an end of the owner’s links', async () => {
    const due = { first: '2026-06-01', second: '2026-06-01' };
    const { first, second, caller, ownerId } = await ownerOfTwo(due);
    const ends = await lineUp(first.carId, [
      () => revokeOwnerLinks(shop.context, caller, ownerId),
      () => changeCar(shop.context, caller, second.carId, { registration: 'FK 3' }, '*'),
    ]);
    expect(ends).toEqual(['done', 'done']);
    const { registration } = await shop.context.store.records.car.findUniqueOrThrow({
      where: { id: second.carId },
    });
    expect(registration).toBe('FK 3');
  });

  it.each(['a change of owner', 'a sale'])(
    '%s that brings the owner a third car, and an end of the owner’s links',
    async (way) => {
      const due = { first: '2026-06-01', second: '2026-06-01' };
      const { first, caller, ownerId } = await ownerOfTwo(due);
      const { carId } = await fitted(shop, {
        owner: { name: 'Seller', email: 'seller@example.org' },
        car: { registration: 'FK 9' },
        top: { fittedOn: '2026-06-01' },
      });
      const { name, email } = await shop.context.store.records.owner.findUniqueOrThrow({
        where: { id: ownerId },
      });
      const ends = await lineUp(first.carId, [
        () => revokeOwnerLinks(shop.context, caller, ownerId),
        () =>
          way === 'a sale'
            ? sellCar(shop.context, caller, carId, { name, email }, '*')
            : changeCar(shop.context, caller, carId, { ownerId }, '*'),
        () => addCar(shop.context, caller, { ownerId, registration: 'FK 4' }),
      ]);
      expect(ends).toEqual(['done', 'done', 'done']);
      expect(await shop.context.store.records.car.count({ where: { ownerId } })).toBe(4);
    },
  );

  it('a position of the second car, as a round looks at both', async () => {
    const due = { first: '2025-06-01', second: '2025-06-01' };
    const { first, second, caller } = await ownerOfTwo(due);
    const recorder = { organisationId: caller.organisationId, by: 'owner' };
    const folded = { position: 'folded', at: '2026-06-12T08:00:00.000Z' } as const;
    const ends = await lineUp(first.carId, [
      () => planRound(shop.context),
      () => logPosition(shop.context, recorder, second.carId, folded),
    ]);
    expect(ends).toEqual(['done', 'done']);
    expect(await shop.context.store.records.positionEntry.count()).toBe(1);
  });

  it('places of a care day for the second car, and an end of the owner’s links', async () => {
    const due = { first: '2026-06-01', second: '2026-06-01' };
    const { first, second, caller, ownerId } = await ownerOfTwo(due);
    await shop.context.store.writeSql((sql) =>
      insertRows(sql, 'care_day_place', [
        {
          id: 'p',
          organisationId: caller.organisationId,
          careDayId: 'd',
          carId: second.carId,
          answer: 'asked',
          createdAt: '2026-06-12T09:00:00.000Z',
        },
      ]),
    );
    const ends = await lineUp(first.carId, [
      () => revokeOwnerLinks(shop.context, caller, ownerId),
      () =>
        shop.context.store.writeSql(async (sql) => {
          await lockCarsOnDay(sql, caller.organisationId, 'd');
          await holdCars(sql, [second.carId]);
        }),
    ]);
    expect(ends).toEqual(['done', 'done']);
  });
});
