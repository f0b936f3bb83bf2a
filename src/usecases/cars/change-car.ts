import { plainRegistration } from '../../domain/tables/plain-registration.ts';
import { holdCars } from '../../store/database/car-lock.ts';
import type { CarRow } from '../../store/cars/car-rows.ts';
import { changeCarRow } from '../../store/cars/car-rows.ts';
import { holdOwner } from '../../store/owners/owner-rows.ts';
import { topOnCar } from '../../store/tops/top-rows.ts';
import { reconsiderCars } from '../round/cancel-untrue.ts';
import type { NewCar } from './add-car.ts';
import { newOwnerOf } from './add-car.ts';
import { refuseKnownCar } from '../own/known-car.ts';
import type { CarRecord } from '../own/car-records.ts';
import { carRecordOf, columnsOf, HANDBOOK, KEEPING, ownCar } from '../own/car-records.ts';
import type { Caller, Context } from '../context/context.ts';
import { carChangedHands } from '../owners/changed-hands.ts';
import { refreshLubrication } from '../own/lubrication-record.ts';
import { requireHeld, requireVersion } from '../context/version.ts';

/** What is null in a keeping is not known any more. */
export type CarChange = Partial<NewCar>;

/**
 * Changes a car; a change of keeping works its lubrication out again. Given to another owner, it keeps
 * its history, and nothing about it that still waits is sent to the former one. A new registration is refused
 * like that of a new car where its owner has a car of it already.
 */
export async function changeCar(
  context: Context,
  caller: Caller,
  id: string,
  change: CarChange,
  version: number | '*' | null,
): Promise<CarRecord> {
  return context.store.write(async (tx) => {
    const { records, sql } = tx;
    await holdCars(sql, [id], change.ownerId === undefined ? [] : [change.ownerId]);
    const before = await ownCar(records, caller, id);
    requireVersion(version, before.version);
    if (change.ownerId !== undefined) await newOwnerOf(records, caller, change.ownerId);
    const { handbook, keeping, ownerId = before.ownerId } = change;
    const { registration = before.registration } = change;
    const isWrittenAnew =
      plainRegistration(registration) !== plainRegistration(before.registration);
    if (change.another !== true && (isWrittenAnew || ownerId !== before.ownerId)) {
      // Of two that get the same one at once, the second waits here and finds it.
      await holdOwner(sql, ownerId);
      await refuseKnownCar(sql, caller.organisationId, registration, { ownerId, except: id });
    }
    const newOwner = ownerId === before.ownerId ? {} : { ownerId, ownerSince: context.now() };
    requireHeld(
      await changeCarRow(records, before, {
        ...newOwner,
        registration,
        timeZone: change.timeZone ?? before.timeZone,
        ...columnsOf(HANDBOOK, handbook, before),
        ...columnsOf(KEEPING, keeping, before),
        make: change.make === undefined ? before.make : change.make,
        model: change.model === undefined ? before.model : change.model,
        year: change.year === undefined ? before.year : change.year,
        colour: change.colour === undefined ? before.colour : change.colour,
      }),
    );
    const row = await ownCar(records, caller, id);
    const top = await topOnCar(records, id);
    if (top !== null) await refreshLubrication(sql, row, top);
    const now = context.now();
    if (row.ownerId !== before.ownerId) {
      const hands = { id, from: before.ownerId, to: row.ownerId };
      await carChangedHands(context, caller, tx, hands, now);
    } else await reconsiderCars(sql, [id], now, () => readsOtherwise(before, row));
    return carRecordOf(row);
  });
}

/** Letters name a car by its registration, and tell its limits and how it is kept. */
function readsOtherwise(before: CarRow, after: CarRow): boolean {
  const told = ['registration', 'timeZone', ...HANDBOOK, ...KEEPING] as const;
  return told.some((column) => before[column] !== after[column]);
}
