import type { Day } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { invalid, Refused } from '../../domain/refusal.ts';
import { holdCars } from '../../store/database/car-lock.ts';
import { flag } from '../../store/database/sql.ts';
import type { Writing } from '../../store/database/store.ts';
import { dropPivotsSince, movePivotDays } from '../../store/tops/pivot-rows.ts';
import type { TopRow } from '../../store/tops/top-rows.ts';
import {
  changeTopRow,
  topRetiredOn,
  unretireTop,
  visitsThatCount,
} from '../../store/tops/top-rows.ts';
import { firstVisitOn, reopenCalledOffWith } from '../../store/visits/visit-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireHeld, requireVersion } from '../context/version.ts';
import { ownCar } from '../own/car-records.ts';
import { refreshLubrication } from '../own/lubrication-record.ts';
import type { TopRecord } from '../own/top-records.ts';
import { ownTop, topRecord } from '../own/top-records.ts';
import { reconsiderCars, reconsiderWork } from '../round/cancel-untrue.ts';
import { retellVisits, tellOfVisit } from '../visits/visit-letters.ts';
import type { NewTop } from './fit-top.ts';

/** What of a top can be put right. Its frame cannot: take the top back and record it anew. */
export type TopChange = Partial<Omit<NewTop, 'carId' | 'framePattern'>>;

/**
 * Puts a top right. What follows is worked out anew in the same transaction: ends of warranties, the
 * day its oil is due, and letters, of which those that became untrue are cancelled.
 */
export async function changeTop(
  context: Context,
  caller: Caller,
  id: string,
  change: TopChange,
  version: number | '*' | null,
): Promise<TopRecord> {
  const now = context.now();
  await context.store.write(async (tx) => {
    const { records, sql } = tx;
    const before = await heldTop(tx, caller, id, version);
    const fittedOn = change.fittedOn ?? before.fittedOn;
    if (fittedOn !== before.fittedOn) {
      await refuseFittedOn(tx, before, fittedOn, dayIn(before.timeZone, now));
      const days = { carId: before.carId, from: before.fittedOn, to: fittedOn };
      const old = await topRetiredOn(records, before.carId, before.fittedOn);
      if (old !== null) requireHeld(await changeTopRow(records, old, { retiredOn: fittedOn }));
      await movePivotDays(records, days);
    }
    const kept = <Value>(said: Value | undefined, there: Value): Value =>
      said === undefined ? there : said;
    requireHeld(
      await changeTopRow(records, before, {
        fittedOn,
        material: change.cover?.material ?? before.material,
        window: change.window ?? before.window,
        powered: change.powered ?? flag(before.powered),
        warranties:
          change.warranties === undefined ? before.warranties : JSON.stringify(change.warranties),
        coverName: kept(change.coverName, before.coverName),
        coverColour: kept(change.coverColour, before.coverColour),
        makersReference: kept(change.makersReference, before.makersReference),
        windowMade: kept(change.windowMade, before.windowMade),
      }),
    );
    if (before.retiredOn === null) {
      const top = await ownTop(sql, caller, id);
      await refreshLubrication(sql, await ownCar(records, caller, before.carId), top);
    }
    await reconsiderWork(sql, [before.carId], now);
    // Letters tell its material's coldest day, its motor and when it was fitted.
    await reconsiderCars(sql, [before.carId], now, () => true);
    await retellVisits(context, sql, before.carId, now);
  });
  return topRecord(context.store.sql, await ownTop(context.store.sql, caller, id), now);
}

/**
 * Takes a top back that was recorded by mistake: the one before it is on the car again, with the
 * pivots that it had, and the bookings that were called off with it stand again. Refused while visits of it stand, since their readings would hang in the air.
 */
export async function withdrawTop(
  context: Context,
  caller: Caller,
  id: string,
  version: number | '*' | null,
): Promise<TopRecord> {
  const now = context.now();
  await context.store.write(async (tx) => {
    const { records, sql } = tx;
    const top = await heldTop(tx, caller, id, version);
    if (top.retiredOn !== null) {
      const detail =
        'Another top was recorded on this car since. Take that one back first, or put this one right.';
      throw new Refused({ kind: 'conflict', detail });
    }
    if ((await visitsThatCount(records, id)) > 0) {
      const detail =
        'Visits of this top are on record. Take them back or call them off first; what was read there belongs to it.';
      throw new Refused({ kind: 'conflict', detail });
    }
    const { carId, fittedOn } = top;
    let reopened: readonly string[] = [];
    requireHeld(await changeTopRow(records, top, { retiredOn: fittedOn, withdrawnAt: now }));
    await dropPivotsSince(records, carId, fittedOn);
    const old = await topRetiredOn(records, carId, fittedOn);
    if (old !== null) {
      await unretireTop(records, old);
      const from = dayIn(top.timeZone, now);
      reopened = await reopenCalledOffWith(records, { topId: old.id, fittedId: id, from });
      const back = await ownTop(sql, caller, old.id);
      await refreshLubrication(sql, await ownCar(records, caller, carId), back);
    }
    await reconsiderWork(sql, [carId], now);
    await reconsiderCars(sql, [carId], now, () => true);
    for (const visitId of reopened) await tellOfVisit(context, sql, visitId, now);
    await retellVisits(context, sql, carId, now);
  });
  return topRecord(context.store.sql, await ownTop(context.store.sql, caller, id), now);
}

/** The top at the version that its author has read, its car held against others. */
async function heldTop(
  { sql }: Writing,
  caller: Caller,
  id: string,
  version: number | '*' | null,
): Promise<TopRow> {
  const { carId } = await ownTop(sql, caller, id);
  await holdCars(sql, [carId]);
  const top = await ownTop(sql, caller, id);
  requireVersion(version, top.version);
  if (top.withdrawnAt !== null) {
    throw new Refused({ kind: 'conflict', detail: 'This top was taken back.' });
  }
  return top;
}

async function refuseFittedOn(
  { records }: Writing,
  top: TopRow,
  fittedOn: Day,
  today: Day,
): Promise<void> {
  const refuse = (words: string) => invalid('#/fittedOn', words);
  if (fittedOn > today) throw refuse('This day is still to come.');
  if (top.retiredOn !== null && fittedOn >= top.retiredOn) {
    throw refuse(`It was retired on ${top.retiredOn}, so it was fitted before.`);
  }
  const visited = await firstVisitOn(records, top.id);
  if (visited !== null && visited < fittedOn) {
    throw refuse(`A visit of it took place on ${visited}. Put that right first.`);
  }
  const old = await topRetiredOn(records, top.carId, top.fittedOn);
  if (old !== null && old.fittedOn >= fittedOn) {
    throw refuse(`The top before it was fitted on ${old.fittedOn}.`);
  }
}
