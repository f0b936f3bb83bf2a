import { Refused } from '../../domain/refusal.ts';
import { changeVisitRow, insertWork, lastDoneVisit } from '../../store/visits/visit-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireHeld } from '../context/version.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { ownTop } from '../own/top-records.ts';
import { reconsiderWork } from '../round/cancel-untrue.ts';
import type { NewFinding } from './record-visit.ts';
import { checkedPivots, findingRow } from './record-visit.ts';
import { retellVisits } from './visit-letters.ts';

/**
 * Adds a finding to the last visit that a top has had: for what its readings told and nobody put into
 * words, once somebody has decided about it. Refused where there was no visit.
 */
export async function addFinding(
  context: Context,
  caller: Caller,
  topId: string,
  finding: NewFinding,
): Promise<void> {
  const now = context.now();
  await context.store.write(async (tx) => {
    const { records, sql } = tx;
    const top = await ownTop(sql, caller, topId);
    const visit = await lastDoneVisit(records, top.id);
    if (visit === null) {
      const detail = 'This top has had no visit that it could belong to.';
      throw new Refused({ kind: 'conflict', detail });
    }
    await checkedPivots(tx, top, { findings: [finding] });
    const whose = {
      organisationId: caller.organisationId,
      visitId: visit.id,
      topId: top.id,
      doneOn: dayIn(top.timeZone, now),
    };
    await insertWork(sql, [], [findingRow(whose, finding)]);
    requireHeld(await changeVisitRow(records, visit, {}));
    await reconsiderWork(sql, [visit.carId], now);
    await retellVisits(context, sql, visit.carId, now);
  });
}
