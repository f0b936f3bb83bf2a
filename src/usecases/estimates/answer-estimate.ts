import type { EstimateAnswer } from '../../domain/estimates/estimate.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { notFound, Refused } from '../../domain/refusal.ts';
import {
  findEstimate,
  readerOfEstimate,
  storeAnswer,
  storeEstimate,
} from '../../store/estimates/estimate-rows.ts';
import { lockCarsOfOwner } from '../../store/cars/owner-page-rows.ts';
import { findingNow } from '../../store/visits/finding-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireVersion } from '../context/version.ts';
import { reconsiderCars } from '../round/cancel-untrue.ts';
import { addFinding } from '../visits/add-finding.ts';
import { decideFinding } from '../visits/decide-finding.ts';
import type { EstimateLineRecord, EstimateRecord } from './estimate-records.ts';
import { estimateRecord } from './estimate-records.ts';

/** What was said to an estimate: the lines of the work that is wanted, by id; all else is declined. */
export interface EstimateReply {
  readonly accepted: ReadonlySet<string>;
}

/**
 * Notes the answer to an estimate that waits: the findings behind its work are accepted or declined with
 * the day, so that parts are ordered, the next visit is told what was declined, and what waits to be
 * written follows. What only readings told becomes a finding of the last visit, since an answer belongs
 * to something. An answer is given once; `late` takes one after the last day too, as a shop may.
 */
export async function answerEstimate(
  context: Context,
  caller: Caller,
  id: string,
  { accepted }: EstimateReply,
  { version, late }: { readonly version: number | '*' | null; readonly late: boolean },
): Promise<EstimateRecord> {
  await context.store.together(async () => {
    const estimate = await settle(context, caller, id, { accepted }, { version, late });
    for (const line of estimate.lines.filter(({ kind }) => kind === 'work')) {
      await answerWork(context, caller, estimate, line, answerTo(line, accepted));
    }
  });
  return estimateRecord(context.store.sql, caller, id);
}

function answerTo({ id }: EstimateLineRecord, accepted: ReadonlySet<string>): EstimateAnswer {
  return accepted.has(id) ? 'accepted' : 'declined';
}

async function settle(
  context: Context,
  caller: Caller,
  id: string,
  { accepted }: EstimateReply,
  { version, late }: { readonly version: number | '*' | null; readonly late: boolean },
): Promise<EstimateRecord> {
  const { organisationId } = caller;
  const now = context.now();
  return context.store.writeSql(async (sql) => {
    const known = await findEstimate(sql, organisationId, id);
    if (known === null) throw notFound('estimate');
    await lockCarsOfOwner(sql, known.ownerId);
    const row = await findEstimate(sql, organisationId, id, true);
    const reader = await readerOfEstimate(sql, id);
    if (row === null || reader === null) throw notFound('estimate');
    requireVersion(version, row.version);
    if (row.state !== 'sent') throw conflict('Only an estimate that waits can be answered.');
    const isOver = row.holdsUntil !== null && dayIn(reader.ownerZone, now) > row.holdsUntil;
    if (isOver && !late) throw conflict('This estimate does not hold any more.');
    const estimate = await estimateRecord(sql, caller, id);
    const work = estimate.lines.filter(({ kind }) => kind === 'work');
    for (const line of work) await storeAnswer(sql, line.id, answerTo(line, accepted));
    await storeEstimate(sql, { ...row, state: 'answered', answeredAt: now });
    await reconsiderCars(sql, [row.carId], now);
    return estimate;
  });
}

/** Decides the findings behind a piece of work; what was done or taken back meanwhile stays as it is. */
async function answerWork(
  context: Context,
  caller: Caller,
  { topId }: EstimateRecord,
  line: EstimateLineRecord,
  outcome: EstimateAnswer,
): Promise<void> {
  const { sql } = context.store;
  const decided = new Set<string | null>();
  for (const findingId of line.findings) {
    const finding = await findingNow(sql, caller.organisationId, findingId);
    if (finding === null) continue;
    decided.add(finding.pivotCode);
    if (finding.outcome === 'done' || finding.outcome === outcome) continue;
    await decideFinding(context, caller, { visitId: finding.visitId, findingId }, { outcome }, '*');
  }
  const unfound = line.pivots.filter((pivot) => !decided.has(pivot));
  if (line.fault === null) return;
  for (const pivot of unfound) {
    const finding = { fault: line.fault, pivot, text: line.text.slice(0, LONGEST_TEXT), outcome };
    await addFinding(context, caller, topId, finding);
  }
}

// As long as a finding may be.
const LONGEST_TEXT = 1_000;

function conflict(detail: string): Refused {
  return new Refused({ kind: 'conflict', detail });
}
