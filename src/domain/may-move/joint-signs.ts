import type { Day } from '../calendar/day.ts';
import type { PivotFigures } from '../pivots/figures.ts';
import { sideOf } from '../pivots/frame-patterns.ts';
import { limitsOf } from '../pivots/judged-series.ts';
import type { Method, Standing } from '../pivots/series.ts';
import { METHODS, standing } from '../pivots/series.ts';
import type { PivotState } from '../pivots/state.ts';
import { RUINED_STATES } from '../pivots/state.ts';
import { sideWashers } from '../pivots/washers.ts';
import type { MovePivot } from './move-facts.ts';
import type { MoveReason, MoveSign } from './move-verdict.ts';

type Step = MoveReason['verdict'];

const CAREFUL: ReadonlySet<PivotState> = new Set(['stiff', 'loose']);

/** What a state word says about moving; null where it says nothing. */
function stepOf(state: PivotState): Step | null {
  if (RUINED_STATES.has(state)) return 'leave';
  return CAREFUL.has(state) ? 'with-care' : null;
}

/**
 * A broken pin and an oval hole do not heal. The word of an oiling, where all joints are often passed
 * at one press, does not make them good; a repair does, or the word of somebody who came to look.
 */
const NOT_MENDED_BY_OIL: ReadonlySet<PivotState> = new Set(['sheared', 'oval']);

/**
 * What the joints of a frame say on a day about moving it: the state words of the last day on which
 * each was read, its last play by each method, and the washers of each side. What was found before a
 * joint's repair is gone with it.
 */
export function jointSigns(
  records: readonly MovePivot[],
  today: Day,
  figures: PivotFigures,
): MoveReason[] {
  const known = records.map((record) => ({ record, now: standing(record, today) }));
  return [
    ...known.flatMap(({ record, now }) => [
      ...stateReasons(record, now),
      ...METHODS.flatMap((method) => playReasons(record, now, method, figures)),
    ]),
    ...washerReasons(known, figures),
  ];
}

function reason(verdict: Step, sign: MoveSign, pivot: string, on: Day): MoveReason {
  return { verdict, sign, pivot, fault: null, on };
}

function stateReasons(record: MovePivot, now: Standing): MoveReason[] {
  const states = record.states
    .filter((state) => now.states.includes(state))
    .sort((a, b) => (a.doneOn < b.doneOn ? -1 : a.doneOn > b.doneOn ? 1 : 0));
  const broken = states.findLast(({ state }) => NOT_MENDED_BY_OIL.has(state));
  const isBroken =
    broken !== undefined &&
    states.every(({ doneOn, onOiling }) => doneOn <= broken.doneOn || onOiling === true);
  const lastOn = states.at(-1)?.doneOn;
  return states
    .filter((state) => state.doneOn === lastOn || (isBroken && state === broken))
    .flatMap(({ state, doneOn }) => {
      const verdict = stepOf(state);
      return verdict === null ? [] : [reason(verdict, state as MoveSign, record.code, doneOn)];
    });
}

function playReasons(
  record: MovePivot,
  now: Standing,
  method: Method,
  figures: PivotFigures,
): MoveReason[] {
  const last = now.readings.findLast((reading) => reading.method === method);
  if (last === undefined) return [];
  const { planOver, actOver } = limitsOf(record, method, figures);
  const washerGone =
    method === 'axial' && record.washersExpected > 0 && last.mm >= figures.washerThickness;
  if (last.mm > actOver || washerGone) return [reason('leave', 'play', record.code, last.doneOn)];
  if (planOver === null || last.mm <= planOver) return [];
  return [reason('with-care', 'play', record.code, last.doneOn)];
}

function washerReasons(
  known: readonly { readonly record: MovePivot; readonly now: Standing }[],
  figures: PivotFigures,
): MoveReason[] {
  const counts = known.map(({ record: { code, washersExpected }, now }) => ({
    code,
    washersExpected,
    washersPresent: now.washers.at(-1)?.present ?? null,
  }));
  const sides = sideWashers(counts, figures);
  return known.flatMap(({ record: { code }, now }) => {
    const { at, verdict } = sides[sideOf(code)];
    const on = now.washers.at(-1)?.doneOn;
    if (on === undefined || !at.includes(code)) return [];
    return [reason(verdict === 'act' ? 'leave' : 'with-care', 'washers', code, on)];
  });
}
