import {
  changeVisitRow,
  findFinding,
  findVisit,
  storeOutcome,
} from '../../store/visits/visit-rows.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { invalid, notFound } from '../../domain/refusal.ts';
import { reconsiderWork } from '../round/cancel-untrue.ts';
import type { Caller, Context } from '../context/context.ts';
import { ownTop } from '../own/top-records.ts';
import { requireHeld, requireVersion } from '../context/version.ts';
import { dropVisitLetters, retellVisits, tellOfVisit } from './visit-letters.ts';
import type { FindingOutcome, VisitRecord } from '../own/visit-records.ts';
import { visitRecord } from '../own/visit-records.ts';

export interface FindingDecision {
  readonly outcome: FindingOutcome;
  /** The day of the decision; today, where it is left out. */
  readonly decidedOn?: Day | undefined;
}

/**
 * Notes what came of an advice. Everything else about a done visit stays as it was written. Letters
 * that wait and list the work are written anew.
 */
export async function decideFinding(
  context: Context,
  caller: Caller,
  ids: { readonly visitId: string; readonly findingId: string },
  decision: FindingDecision,
  version: number | '*' | null,
): Promise<VisitRecord> {
  const now = context.now();
  await context.store.write(async ({ records, sql }) => {
    const visit = await findVisit(records, caller.organisationId, ids.visitId);
    if (visit === null) throw notFound('visit');
    const finding = await findFinding(records, visit.id, ids.findingId);
    if (finding === null) throw notFound('finding');
    requireVersion(version, visit.version);
    const top = await ownTop(sql, caller, visit.topId);
    const today = dayIn(top.timeZone, now);
    refuseDay(decision, visit.doneOn, today);
    requireHeld(await changeVisitRow(records, visit, {}));
    await storeOutcome(records, finding.id, {
      outcome: decision.outcome,
      decidedOn: decision.outcome === 'advised' ? null : (decision.decidedOn ?? today),
    });
    await reconsiderWork(sql, [visit.carId], now);
    // A report that has not left yet tells of the decision; one that has is not sent twice.
    const dropped = await dropVisitLetters(sql, visit, now, 'what was found has been decided');
    if (dropped.length > 0) await tellOfVisit(context, sql, visit.id, now);
    await retellVisits(context, sql, visit.carId, now);
  });
  return visitRecord(context.store.records, caller, ids.visitId);
}

function refuseDay({ outcome, decidedOn }: FindingDecision, doneOn: Day | null, today: Day): void {
  if (decidedOn === undefined) return;
  if (outcome === 'advised') {
    throw invalid('#/decidedOn', 'What is only advised is not decided yet. Leave decidedOn out.');
  }
  if (decidedOn > today) throw invalid('#/decidedOn', 'This day is still to come.');
  if (doneOn !== null && decidedOn < doneOn) {
    throw invalid('#/decidedOn', `It was found on ${doneOn}; the decision cannot be earlier.`);
  }
}
