import type { Day } from '../calendar/day.ts';
import type { Verdict } from '../pivots/state.ts';
import type { FrameFigures } from './frame-figures.ts';
import type { Judged, Readings } from './frame-readings.ts';
import { judgeBreakaway, judgeDiagonals, judgeSway } from './frame-readings.ts';

/**
 * What a reading was held against: good `to` a limit, or `over` the one that its verdict begins at, in mm;
 * `from` so many mm on, which goes by the car's own first reading; or, of a force, good to or over a share
 * `more` or `less` than the first. `first` where there was nothing to hold it against. All are shop rules.
 */
export type HeldAgainst =
  | { readonly by: 'to' | 'over'; readonly limit: number }
  | {
      readonly by: 'from' | 'more' | 'less';
      readonly limit: number;
      readonly first: { readonly on: Day; readonly value: number };
    }
  | { readonly by: 'first' };

/** One thing measured at the frame on a day, with its verdict and the limit that gave it. */
export interface FrameMeasure {
  readonly of: 'sway' | 'diagonals' | 'force';
  /** In mm; of a force in N. */
  readonly value: number;
  readonly verdict: Verdict;
  readonly held: HeldAgainst;
}

/** What was measured at a frame on one day and still holds: not what a repair of that day has made good. */
export function measuredOn(day: Day, readings: Readings, f: FrameFigures): FrameMeasure[] {
  const of = (
    what: FrameMeasure['of'],
    judged: Judged | null,
    held: (judged: Judged) => HeldAgainst,
  ): FrameMeasure[] => {
    if (judged === null || judged.doneOn !== day) return [];
    const { value, verdict } = judged;
    return [{ of: what, value, verdict, held: held(judged) }];
  };
  return [
    ...of('sway', judgeSway(readings, f), (judged) => swayLimit(judged, f)),
    ...of('diagonals', judgeDiagonals(readings, f), ({ verdict }) =>
      stepOf(verdict, f.diagonalsWatchOver, f.diagonalsPlanOver, f.diagonalsActOver),
    ),
    ...of('force', judgeBreakaway(readings, f), (judged) => forceLimit(judged, f)),
  ];
}

function stepOf(verdict: Verdict, watch: number, plan: number, act: number) {
  const limit = { good: watch, watch, plan, act }[verdict];
  return { by: verdict === 'good' ? 'to' : 'over', limit } as const;
}

function swayLimit({ verdict, value, baseline }: Judged, f: FrameFigures): HeldAgainst {
  if (verdict === 'act' && value <= f.swayActOver && baseline !== null) {
    const limit = Math.max(baseline.value, f.swayRepeatability) * f.swayActTimes;
    return { by: 'from', limit, first: firstOf(baseline) };
  }
  return stepOf(verdict, f.swayWatchOver, f.swayPlanOver, f.swayActOver);
}

function forceLimit({ verdict, value, baseline }: Judged, f: FrameFigures): HeldAgainst {
  if (baseline === null) return { by: 'first' };
  const rose = value >= baseline.value;
  const { limit } = rose
    ? stepOf(verdict, f.breakawayWatchOver, f.breakawayPlanOver, f.breakawayActOver)
    : stepOf(verdict, f.breakawayFallWatchOver, f.breakawayFallPlanOver, f.breakawayFallActOver);
  return { by: rose ? 'more' : 'less', limit, first: firstOf(baseline) };
}

function firstOf({ doneOn, value }: NonNullable<Judged['baseline']>) {
  return { on: doneOn, value };
}
