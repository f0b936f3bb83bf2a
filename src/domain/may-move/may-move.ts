import type { Day } from '../calendar/day.ts';
import type { FrameFigures } from '../frame/frame-figures.ts';
import {
  judgeBreakaway,
  judgeDiagonals,
  judgeSway,
  laggingSide,
  readingsOf,
} from '../frame/frame-readings.ts';
import { leverOf } from '../frame/sway-share.ts';
import type { PivotFigures } from '../pivots/figures.ts';
import type { PivotRecord } from '../pivots/series.ts';
import { atLeast } from '../pivots/state.ts';
import type { Verdict } from '../pivots/state.ts';
import { jointSigns } from './joint-signs.ts';
import { MOVE_FINDINGS } from './move-findings.ts';
import type { MoveFacts, OpenFinding } from './move-facts.ts';
import type { MayMove, MoveReason } from './move-verdict.ts';
import { FREE_TO_MOVE, MOVE_SIGNS } from './move-verdict.ts';

export interface MoveFigures {
  readonly pivots: PivotFigures;
  readonly frame: FrameFigures;
}

/**
 * The one verdict on whether a top may be moved on a day. A joint that is seized, sheared or oval, or
 * whose play or missing washers say "act", a frame whose measures say so, or a finding such as a bent
 * arm: `leave` it as it is, folded or raised, until that is repaired. A stiff or loose joint or one to
 * plan for, or a lesser finding: `with-care`. What a repair made good, a later reading found free or a
 * finding said to be done speaks no more; an oiling alone cures nothing. Sources: state words and what
 * must not be done, common practice, no source; limits of play and of the frame, shop rules.
 */
export function mayMove(facts: MoveFacts, today: Day, figures: MoveFigures): MayMove {
  const reasons = [
    ...jointSigns(facts.pivots, today, figures.pivots),
    ...frameReasons(facts, today, figures.frame),
    ...facts.findings.flatMap((finding) => findingReason(finding, facts.pivots)),
  ];
  if (reasons.length === 0) return FREE_TO_MOVE;
  const verdict = reasons.some((reason) => reason.verdict === 'leave') ? 'leave' : 'with-care';
  return {
    verdict,
    reasons: once(reasons.filter((reason) => reason.verdict === verdict)),
    repairOn: facts.repairsBookedOn
      .filter((day) => day >= today)
      .reduce<Day | null>(
        (soonest, day) => (soonest === null || day < soonest ? day : soonest),
        null,
      ),
  };
}

function frameReasons(facts: MoveFacts, today: Day, figures: FrameFigures): MoveReason[] {
  const measured = facts.frame.filter(({ doneOn }) => doneOn >= facts.fittedOn && doneOn <= today);
  if (measured.length === 0) return [];
  const repairedOn = lastFrameRepair(facts.pivots, today, figures);
  const readings = readingsOf(measured, facts.fittedOn, today, repairedOn);
  const lagging = laggingSide(readings);
  return [
    ...frameReason('sway', judgeSway(readings, figures)),
    ...frameReason('twist', judgeDiagonals(readings, figures)),
    ...frameReason('force', judgeBreakaway(readings, figures)),
    ...frameReason('force', lagging === null ? null : { verdict: 'act', doneOn: today }),
  ];
}

function frameReason(
  sign: 'sway' | 'twist' | 'force',
  judged: { readonly verdict: Verdict; readonly doneOn: Day } | null,
): MoveReason[] {
  if (judged === null || !atLeast(judged.verdict, 'plan')) return [];
  const verdict = judged.verdict === 'act' ? 'leave' : 'with-care';
  return [{ verdict, sign, pivot: null, fault: null, on: judged.doneOn }];
}

/** The last repair up to a day of a joint that carries the frame, that is, one with a lever. */
export function lastFrameRepair(
  records: readonly PivotRecord[],
  on: Day,
  figures: FrameFigures,
): Day | null {
  return records
    .filter(({ kind }) => leverOf(kind, figures) !== null)
    .flatMap(({ repairs }) => repairs)
    .filter((day) => day <= on)
    .reduce<Day | null>((last, day) => (last === null || day > last ? day : last), null);
}

function findingReason(
  { fault, pivot, on }: OpenFinding,
  pivots: readonly PivotRecord[],
): MoveReason[] {
  const verdict = fault === null ? undefined : MOVE_FINDINGS[fault];
  if (verdict === undefined || isMended(pivot, on, pivots)) return [];
  return [{ verdict, sign: 'found', pivot, fault, on }];
}

/** A joint that was repaired since, or found free on a later day, is not what was found any more. */
function isMended(code: string | null, on: Day, pivots: readonly PivotRecord[]): boolean {
  const record = code === null ? undefined : pivots.find((pivot) => pivot.code === code);
  if (record === undefined) return code !== null && pivots.length > 0;
  return (
    record.repairs.some((day) => day >= on) ||
    record.states.some(({ doneOn, state }) => doneOn > on && (state === 'free' || state === 'dry'))
  );
}

/** A joint that was both read and found faulty speaks once, with its own word. */
function once(reasons: readonly MoveReason[]): MoveReason[] {
  const read = new Set(reasons.flatMap(({ sign, pivot }) => (sign === 'found' ? [] : [pivot])));
  return reasons
    .filter(({ sign, pivot }) => sign !== 'found' || pivot === null || !read.has(pivot))
    .sort((a, b) => MOVE_SIGNS.indexOf(a.sign) - MOVE_SIGNS.indexOf(b.sign));
}
