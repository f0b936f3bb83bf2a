import { insertVisit, removeVisit } from '../../store/visits/visit-rows.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { Writing } from '../../store/database/store.ts';
import type { TopRow } from '../../store/tops/top-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { ownTop } from '../own/top-records.ts';
import { reconsiderCars } from '../round/cancel-untrue.ts';
import { refuseDays, settleVisit } from './record-visit.ts';

/**
 * Records, inside the transaction, that the pivots of a top were oiled and no more: a lubrication visit
 * without readings, from which the next due day counts; its id. Refused on a day that cannot be. Letters that it makes untrue are cancelled.
 * A visit that is booked stays booked, for nobody looked at the washers, and the owner is told nothing.
 */
export async function recordBareOiling(
  tx: Writing,
  caller: Caller,
  top: TopRow,
  oiling: { readonly doneOn: Day; readonly notes: string },
  now: Instant,
): Promise<string> {
  refuseDays(top, oiling, dayIn(top.timeZone, now));
  const id = newId();
  await insertVisit(tx.records, {
    id,
    organisationId: caller.organisationId,
    topId: top.id,
    carId: top.carId,
    kind: 'lubrication',
    state: 'done',
    ...oiling,
    createdAt: now,
  });
  await settleVisit(tx, caller, top);
  await reconsiderCars(tx.sql, [top.carId], now);
  return id;
}

/**
 * Takes such an oiling out again, as if it had not been told, on which nothing else hangs; the oil is due by
 * what is left on record.
 */
export async function removeBareOiling(
  context: Context,
  caller: Caller,
  { visitId, topId }: { readonly visitId: string; readonly topId: string },
): Promise<void> {
  await context.store.write(async (tx) => {
    const top = await ownTop(tx.sql, caller, topId);
    await removeVisit(tx.records, visitId);
    await settleVisit(tx, caller, top);
    await reconsiderCars(tx.sql, [top.carId], context.now());
  });
}
