import { notFound, Refused } from '../../domain/refusal.ts';
import {
  changeVisitRow,
  dropFindings,
  findVisit,
  workOfVisits,
} from '../../store/visits/visit-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireHeld } from '../context/version.ts';
import { ownTop } from '../own/top-records.ts';
import { reconsiderWork } from '../round/cancel-untrue.ts';
import { settleVisit } from '../visits/record-visit.ts';
import { dropVisitLetters, retellVisits } from '../visits/visit-letters.ts';

/**
 * Takes back the look that a plan was recorded as, with all its findings: the verdict on moving the
 * top, the parts to order and the letters that wait are as if it had not been. Refused where it holds
 * readings, or something was decided about a finding since: then that is put right one by one.
 * Returns the car.
 */
export async function takeBackPlan(
  context: Context,
  caller: Caller,
  visitId: string,
): Promise<{ readonly carId: string }> {
  const now = context.now();
  return context.store.write(async (tx) => {
    const { records, sql } = tx;
    const row = await findVisit(records, caller.organisationId, visitId);
    if (row === null) throw notFound('visit');
    const { readings, findings } = await workOfVisits(records, [visitId]);
    const isDecided = findings.some(
      ({ outcome, decidedOn }) =>
        outcome === 'done' || outcome === 'declined' || (decidedOn ?? row.doneOn) !== row.doneOn,
    );
    if (row.state !== 'done' || row.kind !== 'look' || readings.length > 0 || isDecided) {
      const detail =
        'This cannot be taken back at once any more: some of it was decided since. Say of each piece of work what came of it.';
      throw new Refused({ kind: 'conflict', detail });
    }
    requireHeld(await changeVisitRow(records, row, { state: 'cancelled' }));
    await dropFindings(records, visitId);
    await settleVisit(tx, caller, await ownTop(sql, caller, row.topId));
    await reconsiderWork(sql, [row.carId], now);
    await dropVisitLetters(sql, row, now, 'the visit was taken back');
    await retellVisits(context, sql, row.carId, now);
    return { carId: row.carId };
  });
}
