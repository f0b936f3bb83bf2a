import type { Instant } from '../../domain/calendar/instant.ts';
import { invalid, notFound, Refused } from '../../domain/refusal.ts';
import { LOOK_NOW } from '../../domain/round/next-look.ts';
import { holdCars } from '../../store/database/car-lock.ts';
import type { CarRow } from '../../store/cars/car-rows.ts';
import type { Sql, SqlValue } from '../../store/database/sql.ts';
import { insertRows } from '../../store/database/sql.ts';
import type { Writing } from '../../store/database/store.ts';
import { holdOwner } from '../../store/owners/owner-rows.ts';
import type { Against } from '../../store/records/import-references.ts';
import { removeMade, standingAgainst } from '../../store/records/import-undo-rows.ts';
import { topIdsOfCars } from '../../store/tops/top-rows.ts';
import { removedCarsOf, removedWithCar, removalOfCar } from '../../store/trail/trail-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { requireVersion } from '../context/version.ts';
import { heldFiguresOf } from '../figures/shop-rules.ts';
import type { CarRecord } from '../own/car-records.ts';
import { carRecordOf, ownCar } from '../own/car-records.ts';
import { refuseKnownCar } from '../own/known-car.ts';
import { lubricationColumns } from '../own/lubrication-record.ts';
import { ownOwner } from '../own/owner-records.ts';

/** What keeps a car in the records: something that took place, was sent, or is agreed. */
export type Keeps = Against | 'sold';

/** What stands against removing a car that was typed in by mistake; nothing where it can go. */
export async function keepsCar(context: Context, caller: Caller, id: string): Promise<Keeps[]> {
  const { records, sql } = context.store;
  return keepsOf(sql, await ownCar(records, caller, id));
}

async function keepsOf(sql: Sql, { id, ownerSince }: CarRow): Promise<Keeps[]> {
  const against = (await standingAgainst(sql, [id])).get(id) ?? [];
  return ownerSince === null ? [...against] : ['sold', ...against];
}

/**
 * Removes a car that was typed in by mistake, with its tops, its links and the letters about it that wait.
 * Refused, with what to do instead, where anything hangs on it that took place, was sent or is
 * agreed. That it was there, and what stood in it, stays in the trail, from which it can come back.
 */
export async function removeCar(
  context: Context,
  caller: Caller,
  id: string,
  version: number | '*' | null,
): Promise<void> {
  requireRight(caller, 'keep-owners');
  await context.store.write(async ({ records, sql }) => {
    await holdCars(sql, [id]);
    const car = await ownCar(records, caller, id);
    requireVersion(version, car.version);
    const keeps = await keepsOf(sql, car);
    if (keeps.length > 0) {
      throw new Refused({
        kind: 'conflict',
        detail: 'Something hangs on this car, so it cannot be removed as a mistake.',
        faults: keeps.map((keep) => ({ pointer: '#', detail: INSTEAD[keep] })),
      });
    }
    await removeMade(sql, { owners: [], cars: [id], tops: await topIdsOfCars(sql, [id]) });
  });
}

/** What keeps a car, and what to do instead of removing it. */
export const INSTEAD: Readonly<Record<Keeps, string>> = {
  sold: 'It changed hands: take the sale back first.',
  visits:
    'Visits of it are on record: call off what is booked, and take back what did not take place.',
  entries: 'Its log has entries: take back those that are wrong first.',
  calls: 'Calls about it are noted: take back those that were not made.',
  offers: 'Weeks were offered for it.',
  letters:
    'Letters about it have left, and stay on record: put the car right, or give it to whose it is.',
  consents: 'Its owner said what may be written.',
  'care-days': 'It is on a care day: take it off there first.',
  orders: 'Parts are ordered for it with a care day: take the order back first.',
  sharing:
    'Its owner joined it with another organisation’s record, or shows it: put it right instead.',
  estimates: 'An estimate was made for it, which stays on record: put the car right instead.',
  photos: 'Photos of it are kept: remove them first.',
};

/** A car that was removed and can come back. */
export interface RemovedCar {
  readonly carId: string;
  readonly registration: string;
  readonly at: Instant;
  /** Who removed it: the id, and the name as people are told, empty where nobody is named. */
  readonly author: string;
  readonly by: string;
}

const SHOWN = 10;

/** The cars of an owner that were removed and are not there again, the newest first. */
export async function removedCars(
  { store }: Context,
  { organisationId }: Caller,
  ownerId: string,
): Promise<RemovedCar[]> {
  const rows = await removedCarsOf(store.sql, organisationId, ownerId, SHOWN);
  return rows.map(({ carId, at, author, authorName, was }) => {
    const { registration } = valuesIn(was);
    return { carId, at, author, by: authorName, registration: String(registration ?? '') };
  });
}

/**
 * Brings a car back that was removed, to the owner it had, with its tops, their joints and the visits that
 * were called off. Its links and what waited to be sent are gone: the round writes anew what is owed.
 */
export async function bringCarBack(
  context: Context,
  caller: Caller,
  id: string,
): Promise<CarRecord> {
  requireRight(caller, 'keep-owners');
  const { organisationId } = caller;
  const car = await context.store.write(async (tx) => {
    const { records, sql } = tx;
    const removal = await removalOfCar(sql, organisationId, id);
    if (removal === null) throw notFound('car');
    const was = valuesIn(removal.was);
    const ownerId = String(was['ownerId']);
    await refuseGoneOwner(tx, caller, ownerId);
    await holdCars(sql, [], [ownerId]);
    await holdOwner(sql, ownerId);
    if ((await records.car.count({ where: { id } })) > 0) {
      throw new Refused({ kind: 'conflict', detail: 'This car is there already.' });
    }
    await refuseKnownCar(sql, organisationId, String(was['registration']), { ownerId });
    await putIn(
      tx,
      caller,
      { ...was, id },
      await removedWithCar(sql, organisationId, id, removal.at),
    );
    return ownCar(records, caller, id);
  });
  return carRecordOf(car);
}

async function refuseGoneOwner({ records }: Writing, caller: Caller, id: string): Promise<void> {
  const owner = await ownOwner(records, caller, id).catch(() => null);
  if (owner !== null && owner.erasedAt === null) return;
  throw invalid('#', 'Its owner is not on record any more. Add the car anew.');
}

async function putIn(
  { records, sql }: Writing,
  caller: Caller,
  was: Values,
  removed: readonly { readonly kind: string; readonly was: string | null }[],
): Promise<void> {
  const of = (kind: string) =>
    removed.filter((row) => row.kind === kind).map((row) => valuesIn(row.was));
  const { id = '' } = was;
  await insertRows(sql, 'car', [{ ...was, lookAt: LOOK_NOW }]);
  const own = await heldFiguresOf(sql, caller.organisationId, String(id));
  const car = await ownCar(records, caller, String(id));
  const unoiled = { lubricatedOn: null, stiffOrMissing: false };
  await insertRows(
    sql,
    'top',
    of('top').map((top) => ({
      ...top,
      // Nothing was ever done to it, or it would not have gone.
      ...lubricationColumns(car, { fittedOn: String(top['fittedOn']), ...unoiled }, own),
    })),
  );
  await insertRows(sql, 'pivot', of('pivot'));
  await insertRows(sql, 'visit', of('visit'));
}

type Values = Readonly<Record<string, SqlValue>>;

function valuesIn(json: string | null): Values {
  return json === null ? {} : (JSON.parse(json) as Values);
}
