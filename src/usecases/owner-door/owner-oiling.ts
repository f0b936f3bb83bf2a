import { callOffVisits } from '../../store/visits/visit-rows.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { invalid, notFound } from '../../domain/refusal.ts';
import { lockCarsOfOwner, toldVisit } from '../../store/cars/owner-page-rows.ts';
import type { Writing } from '../../store/database/store.ts';
import { reconsiderCars } from '../round/cancel-untrue.ts';
import { actingAs } from '../context/acting.ts';
import type { Caller, Context } from '../context/context.ts';
import type { OwnerDoor } from '../cars/owner-car.ts';
import { ownCarOf } from '../cars/owner-car.ts';
import { OWNER_TOLD } from '../own/visit-notes.ts';
import { recordBareOiling } from '../visits/bare-oiling.ts';
import { settleVisit } from '../visits/record-visit.ts';
import type { TopRow } from '../../store/tops/top-rows.ts';
import { ownTop } from '../own/top-records.ts';

/** Records that the owner oiled the pivots today, and no more than that. Told twice a day it is one visit. */
export async function recordOwnOiling(
  context: Context,
  door: OwnerDoor,
  carId: string,
): Promise<void> {
  const now = context.now();
  await withTop(context, door, carId, async (tx, caller, top) => {
    const doneOn = dayIn(top.timeZone, now);
    if (doneOn < top.fittedOn) throw invalid('#/doneOn', 'This top is not on the car yet.');
    if (top.lubricatedOn === doneOn) return;
    await recordBareOiling(tx, caller, top, { doneOn, notes: OWNER_TOLD }, now);
  });
}

/** Takes back what the owner told today; the visit stays in the history as called off. */
export async function takeBackOwnOiling(
  context: Context,
  door: OwnerDoor,
  carId: string,
): Promise<void> {
  const now = context.now();
  await withTop(context, door, carId, async (tx, caller, top) => {
    const told = await toldVisit(tx.sql, top.id, dayIn(top.timeZone, now), OWNER_TOLD);
    if (told === null) return;
    await callOffVisits(tx.records, [told.id], null);
    await settleVisit(tx, caller, top);
    await reconsiderCars(tx.sql, [top.carId], now);
  });
}

async function withTop(
  context: Context,
  door: OwnerDoor,
  carId: string,
  work: (tx: Writing, caller: Caller, top: TopRow) => Promise<void>,
): Promise<void> {
  const { car, caller } = await ownCarOf(context, door, carId);
  const { topId } = car;
  if (topId === null) throw notFound('top');
  await actingAs(context, caller, () =>
    context.store.write(async (tx) => {
      // Held before the top is read: of two taps at once, the second sees what the first recorded.
      await lockCarsOfOwner(tx.sql, car.ownerId);
      await work(tx, caller, await ownTop(tx.sql, caller, topId));
    }),
  );
}
