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
import { atLeast } from '../pivots/state.ts';
import type { Verdict } from '../pivots/state.ts';
import { jointSigns } from './joint-signs.ts';
import { MOVE_FINDINGS, ONE_SIDE_LAGS } from './move-findings.ts';
import type { MoveFacts, MovePivot, OpenFinding } from './move-facts.ts';
import { howToMove } from './how-to-move.ts';
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
 * finding said to be done speaks no more; an oiling alone cures nothing, and its word "free" mends
 * neither a broken pin nor an oval hole. Sources: state words and what
 * must not be done, common practice, no source; limits of play and of the frame, shop rules.
 */
export function mayMove(given: MoveFacts, today: Day, figures: MoveFigures): MayMove {
  const facts = withWholeRepairs(given, today);
  const reasons = [
    ...jointSigns(facts.pivots, today, figures.pivots),
    ...frameReasons(facts, today, figures.frame),
    ...facts.findings.flatMap((finding) => findingReason(finding, facts, today, figures.frame)),
  ];
  if (reasons.length === 0) return FREE_TO_MOVE;
  const verdict = reasons.some((reason) => reason.verdict === 'leave') ? 'leave' : 'with-care';
  const gravest = once(reasons.filter((reason) => reason.verdict === verdict));
  return {
    verdict,
    reasons: gravest,
    how: verdict === 'leave' ? [] : howToMove(gravest, facts.powered === true),
    repairOn: facts.repairsBookedOn
      .filter((day) => day >= today)
      .reduce<Day | null>(
        (soonest, day) => (soonest === null || day < soonest ? day : soonest),
        null,
      ),
    powered: facts.powered === true,
  };
}

/** A repair visit without a word about single joints counts as the repair of each. */
function withWholeRepairs(facts: MoveFacts, today: Day): MoveFacts {
  const days = wholeRepairs(facts, today);
  if (days.length === 0) return facts;
  return {
    ...facts,
    pivots: facts.pivots.map((pivot) => ({ ...pivot, repairs: [...pivot.repairs, ...days] })),
  };
}

function wholeRepairs({ mended = [] }: MoveFacts, today: Day): Day[] {
  return mended.filter(({ fault, on }) => fault === null && on <= today).map(({ on }) => on);
}

function frameReasons(facts: MoveFacts, today: Day, figures: FrameFigures): MoveReason[] {
  const measured = facts.frame.filter(({ doneOn }) => doneOn >= facts.fittedOn && doneOn <= today);
  if (measured.length === 0) return [];
  const repairedOn = [
    lastFrameRepair(facts.pivots, today, figures),
    ...wholeRepairs(facts, today),
  ].reduce((last, day) => (last === null || (day !== null && day > last) ? day : last));
  const readings = readingsOf(measured, facts.fittedOn, today, repairedOn);
  return [
    ...frameReason('sway', judgeSway(readings, figures)),
    ...frameReason('twist', judgeDiagonals(readings, figures)),
    ...frameReason('force', judgeBreakaway(readings, figures)),
    ...frameReason('force', laggingSide(readings)),
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
  records: readonly Pick<MovePivot, 'kind' | 'repairs'>[],
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
  finding: OpenFinding,
  facts: MoveFacts,
  today: Day,
  figures: FrameFigures,
): MoveReason[] {
  const { fault, pivot, on } = finding;
  const verdict = fault === null ? undefined : MOVE_FINDINGS[fault];
  if (verdict === undefined || on > today || isMended(finding, facts, today)) return [];
  // As a side that lags among the measures of the frame, it ends with a repair of a joint that carries it; but
  // what was found beside a repair on the same day stood after it, unless it was said to be done.
  const carriedOn = fault === ONE_SIDE_LAGS ? lastFrameRepair(facts.pivots, today, figures) : null;
  if (carriedOn !== null && carriedOn > on) return [];
  return [{ verdict, sign: 'found', pivot, fault, on }];
}

// What the bare word of an oiling takes back, and what only somebody who came to look does.
const FREED_BY_OIL: ReadonlySet<string> = new Set(['pivot-stiff', 'pivot-seized']);
const FREED_BY_LOOKING: ReadonlySet<string> = new Set(['pivot-sheared', 'hole-oval']);

/** Whether the fault was said to be mended, or its joint repaired or found sound, since. */
function isMended(finding: OpenFinding, facts: MoveFacts, today: Day): boolean {
  const { fault, pivot: code, on, visit } = finding;
  const isSaid = (facts.mended ?? []).some((work) => {
    if (work.on > today) return false;
    // What a repair visit itself found and did not mend is still to be mended after it.
    if (work.fault === null) return work.on > on || (work.on === on && work.visit !== visit);
    return work.fault === fault && work.pivot === code && work.on >= on;
  });
  const record = facts.pivots.find((pivot) => pivot.code === code);
  if (isSaid || record === undefined) return isSaid;
  const since = (day: Day) => day > on && day <= today;
  return (
    record.repairs.some((day) => day >= on && day <= today) ||
    record.states.some(
      ({ doneOn, state, onOiling }) =>
        since(doneOn) &&
        (state === 'free' || state === 'dry') &&
        (FREED_BY_OIL.has(fault ?? '') || (FREED_BY_LOOKING.has(fault ?? '') && onOiling !== true)),
    ) ||
    (fault === 'washers-missing' &&
      record.washers.some(
        ({ doneOn, present }) => since(doneOn) && present >= record.washersExpected,
      ))
  );
}

/** A joint that was both read and found faulty speaks once, with its own word. */
function once(reasons: readonly MoveReason[]): MoveReason[] {
  const read = new Set(reasons.flatMap(({ sign, pivot }) => (sign === 'found' ? [] : [pivot])));
  return reasons
    .filter(({ sign, pivot }) => sign !== 'found' || pivot === null || !read.has(pivot))
    .sort((a, b) => MOVE_SIGNS.indexOf(a.sign) - MOVE_SIGNS.indexOf(b.sign));
}
