import type { Day } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { invalid, notFound, Refused } from '../../domain/refusal.ts';
import type { Writing } from '../../store/database/store.ts';
import { storeUses } from '../../store/stock/part-use-rows.ts';
import type { TopRow } from '../../store/tops/top-rows.ts';
import type { VisitRow } from '../../store/visits/visit-rows.ts';
import {
  changeVisitRow,
  findVisit,
  reopenClosedBy,
  replaceFindings,
  replaceReadings,
  workOfVisits,
} from '../../store/visits/visit-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireHeld, requireVersion } from '../context/version.ts';
import { ownTop } from '../own/top-records.ts';
import type { VisitKind, VisitRecord } from '../own/visit-records.ts';
import { visitRecord } from '../own/visit-records.ts';
import { reconsiderWork } from '../round/cancel-untrue.ts';
import type { NewFinding, VisitWork } from './record-visit.ts';
import {
  checkedPivots,
  findingRow,
  measuredColumns,
  readingRow,
  refuseDays,
  settleVisit,
} from './record-visit.ts';
import { dropVisitLetters, retellVisits, tellOfVisit } from './visit-letters.ts';

/** What a visit that took place really was: all of it, since what is left out was not so. */
export interface VisitCorrection extends VisitWork {
  readonly kind: VisitKind;
  readonly doneOn: Day;
  /** Those with an id stand already; of them only what differs is changed. */
  readonly findings?: readonly (NewFinding & { readonly id?: string | undefined })[] | undefined;
}

/**
 * Puts a done visit right: its day, kind, readings, measures and findings become those handed in, and
 * all that follows from them is worked out anew in the same transaction: due day, the verdict whether
 * the top may be moved, and letters, of which those that became untrue are cancelled. A report that
 * waits is written anew; one that has left is not sent twice. What stood before is in the trail.
 */
export async function correctVisit(
  context: Context,
  caller: Caller,
  id: string,
  correction: VisitCorrection,
  version: number | '*' | null,
): Promise<VisitRecord> {
  const now = context.now();
  await context.store.write(async (tx) => {
    const { row, top, today } = await doneVisit(context, tx, caller, id, version);
    refuseDays(top, correction, today);
    const { kind, doneOn } = correction;
    const measured = measuredColumns(correction);
    requireHeld(await changeVisitRow(tx.records, row, { kind, doneOn, ...measured }));
    await replaceWork(tx, caller, top, id, correction);
    await settleVisit(tx, caller, top);
    await reconsiderWork(tx.sql, [row.carId], now);
    await dropVisitLetters(tx.sql, row, now, 'the visit was put right');
    await tellOfVisit(context, tx.sql, id, now);
    await retellVisits(context, tx.sql, row.carId, now);
  });
  return visitRecord(context.store.records, caller, id);
}

/**
 * Takes a done visit back, as if it had not been recorded: its readings and findings go, and what
 * they said stays in the trail alone. A booking that it completed, or whose place it took, stands
 * again if its day is still to come.
 */
export async function withdrawVisit(
  context: Context,
  caller: Caller,
  id: string,
  version: number | '*' | null,
): Promise<VisitRecord> {
  const now = context.now();
  await context.store.write(async (tx) => {
    const { records, sql } = tx;
    const { row, top, today } = await doneVisit(context, tx, caller, id, version);
    const isBooked = row.plannedOn !== null && row.plannedOn >= today && top.retiredOn === null;
    const { notes: _notes, minutes: _minutes, ...measures } = measuredColumns({});
    requireHeld(
      await changeVisitRow(records, row, {
        ...(isBooked ? { state: 'booked', doneOn: null } : { state: 'cancelled' }),
        ...measures,
      }),
    );
    await replaceReadings(records, id, []);
    await replaceFindings(records, id, []);
    // What it took from the stock was not taken.
    await storeUses(sql, { ...row, doneOn: row.doneOn ?? today }, []);
    const reopened = await reopenClosedBy(records, id, today);
    await settleVisit(tx, caller, top);
    await reconsiderWork(sql, [row.carId], now);
    await dropVisitLetters(sql, row, now, 'the visit was taken back');
    for (const visitId of [id, ...reopened]) await tellOfVisit(context, sql, visitId, now);
    await retellVisits(context, sql, row.carId, now);
  });
  return visitRecord(context.store.records, caller, id);
}

async function doneVisit(
  context: Context,
  { records, sql }: Writing,
  caller: Caller,
  id: string,
  version: number | '*' | null,
): Promise<{ row: VisitRow; top: TopRow; today: Day }> {
  const row = await findVisit(records, caller.organisationId, id);
  if (row === null) throw notFound('visit');
  requireVersion(version, row.version);
  if (row.state !== 'done') {
    const detail =
      'This visit has not taken place, so nothing of it can be put right. Move it or call it off.';
    throw new Refused({ kind: 'conflict', detail });
  }
  const top = await ownTop(sql, caller, row.topId);
  return { row, top, today: dayIn(top.timeZone, context.now()) };
}

async function replaceWork(
  tx: Writing,
  caller: Caller,
  top: TopRow,
  visitId: string,
  correction: VisitCorrection,
): Promise<void> {
  const { readings = [], findings = [], doneOn } = correction;
  const pivots = await checkedPivots(tx, top, correction);
  const whose = { organisationId: caller.organisationId, visitId, topId: top.id, doneOn };
  await replaceReadings(
    tx.records,
    visitId,
    readings.map((reading) => readingRow(whose, reading, pivots)),
  );
  const known = (await workOfVisits(tx.records, [visitId])).findings;
  await replaceFindings(
    tx.records,
    visitId,
    findings.map(({ id, ...finding }, i) => {
      const fresh = findingRow(whose, finding);
      if (id === undefined) return fresh;
      const before = known.find((one) => one.id === id);
      if (before === undefined) {
        throw invalid(`#/findings/${i}/id`, 'This visit has no such finding. Leave id out.');
      }
      const decided = before.outcome === fresh.outcome ? before.decidedOn : fresh.decidedOn;
      return { ...fresh, id, decidedOn: decided };
    }),
  );
}
