import { v7 as newId } from 'uuid';
import { dayIn } from '../domain/calendar/zone.ts';
import { invalid, notFound } from '../domain/refusal.ts';
import { lockCarsOfOwner, toldVisit } from '../store/owner-page-rows.ts';
import type { Writing } from '../store/store.ts';
import { reconsiderCars } from './cancel-untrue.ts';
import type { Caller, Deed } from './deed.ts';
import { ownCarOf, OWNER_TOLD } from './owner-car.ts';
import { settleVisit } from './record-visit.ts';
import type { TopRow } from './top-records.ts';
import { ownTop } from './top-records.ts';

/**
 * Records that the owner oiled the pivots today: a lubrication visit without readings, from which
 * the next due day counts. Told twice a day it is one visit. A visit that is booked stays booked,
 * for the owner's oil does not look at the washers.
 */
export async function recordOwnOiling(deed: Deed, token: string, carId: string): Promise<void> {
  const now = deed.now();
  await withTop(deed, token, carId, async (tx, caller, top) => {
    const doneOn = dayIn(top.timeZone, now);
    if (doneOn < top.fittedOn) throw invalid('#/doneOn', 'This top is not on the car yet.');
    if (top.lubricatedOn === doneOn) return;
    await tx.records.visit.create({
      data: {
        id: newId(),
        organisationId: caller.organisationId,
        topId: top.id,
        carId: top.carId,
        kind: 'lubrication',
        state: 'done',
        doneOn,
        notes: OWNER_TOLD,
        createdAt: now,
      },
    });
    await settleVisit(tx, caller, top);
    await reconsiderCars(tx.sql, [top.carId], now);
  });
}

/** Takes back what the owner told today; the visit stays in the history as called off. */
export async function takeBackOwnOiling(deed: Deed, token: string, carId: string): Promise<void> {
  const now = deed.now();
  await withTop(deed, token, carId, async (tx, caller, top) => {
    const told = await toldVisit(tx.sql, top.id, dayIn(top.timeZone, now), OWNER_TOLD);
    if (told === null) return;
    await tx.records.visit.update({
      where: { id: told.id },
      data: { state: 'cancelled', version: { increment: 1 } },
    });
    await settleVisit(tx, caller, top);
    await reconsiderCars(tx.sql, [top.carId], now);
  });
}

async function withTop(
  deed: Deed,
  token: string,
  carId: string,
  work: (tx: Writing, caller: Caller, top: TopRow) => Promise<void>,
): Promise<void> {
  const { car, owner } = await ownCarOf(deed, token, carId);
  const { topId } = car;
  if (topId === null) throw notFound('top');
  const caller: Caller = {
    organisationId: owner.organisationId,
    keyId: `owner:${owner.id}`,
    scope: 'log',
  };
  await deed.store.write(async (tx) => {
    // Held before the top is read: of two taps at once, the second sees what the first recorded.
    await lockCarsOfOwner(tx.sql, owner.id);
    await work(tx, caller, await ownTop(tx.sql, caller, topId));
  });
}
