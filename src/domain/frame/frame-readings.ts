import { daysBetween, isDay } from '../calendar/day.ts';
import type { Day } from '../calendar/day.ts';
import { verdictOver } from '../pivots/state.ts';
import type { Verdict } from '../pivots/state.ts';
import type { FrameFigures } from './frame-figures.ts';

/** What was measured on the whole frame on one day. */
export interface FrameReading {
  readonly doneOn: Day;
  /** Total travel of the header, unlatched, pulled left and right with 50 N. */
  readonly swayMm?: number | undefined;
  /** Header corner to the opposite main bracket; `left` starts at the left header corner. */
  readonly diagonalsMm?: { readonly left: number; readonly right: number } | undefined;
  /** Force at the centre of the header that starts the frame moving. */
  readonly breakawayN?: number | undefined;
  /** Whether one side starts after the other. */
  readonly oneSideLags?: boolean | undefined;
}

/** The last reading of one thing, against the car's own first one. */
export interface Judged {
  readonly verdict: Verdict;
  readonly doneOn: Day;
  readonly value: number;
  /** The first reading since the top was fitted; null where the last is the first. */
  readonly baseline: { readonly doneOn: Day; readonly value: number } | null;
  readonly because: string;
}

/**
 * Readings of one frame since the top was fitted, oldest first. What was found up to the day of its
 * last repair is no longer so, but still serves as the car's own first reading.
 */
export interface Readings {
  readonly inOrder: readonly FrameReading[];
  readonly repairedOn: Day | null;
}

interface Dated {
  readonly doneOn: Day;
  readonly value: number;
}

/**
 * Sway of the last day it was measured. Beside the limits, it is `act` at twice the car's own first
 * reading, taken as no less than a reading's error.
 */
export function judgeSway(readings: Readings, f: FrameFigures): Judged | null {
  return judge(
    readings,
    ({ swayMm }) => swayMm,
    (last, first) => {
      const limit = verdictOver(last.value, f.swayWatchOver, f.swayPlanOver, f.swayActOver);
      const words = `sway ${last.value} mm on ${last.doneOn}`;
      // A first reading within the error of reading counts as that error: twice nothing is nothing.
      const many = first && Math.max(first.value, f.swayRepeatability) * f.swayActTimes;
      if (first === null || many === null || last.value < many) {
        return { verdict: limit, because: `${words}: ${limit}` };
      }
      const times = `${f.swayActTimes} times the ${first.value} mm of ${first.doneOn} or more`;
      return { verdict: 'act', because: `${words}, ${times}: act` };
    },
  );
}

/** Difference of the diagonals of the last day they were measured. */
export function judgeDiagonals(readings: Readings, f: FrameFigures): Judged | null {
  return judge(readings, difference, ({ value, doneOn }) => {
    const { diagonalsWatchOver, diagonalsPlanOver, diagonalsActOver } = f;
    const verdict = verdictOver(value, diagonalsWatchOver, diagonalsPlanOver, diagonalsActOver);
    return { verdict, because: `diagonals ${value} mm apart on ${doneOn}: ${verdict}` };
  });
}

/**
 * Breakaway force against the car's own first reading: without one there is nothing to judge it
 * by. A rise tells of stiff joints; a sharp fall of something that holds no more: a spring, a link. A side that lags is told by `laggingSide`.
 */
export function judgeBreakaway(readings: Readings, f: FrameFigures): Judged | null {
  return judge(
    readings,
    ({ breakawayN }) => breakawayN,
    (last, first) => {
      const words = `breakaway force ${last.value} N on ${last.doneOn}`;
      if (first === null) {
        return { verdict: 'good', because: `${words}, the first: nothing to compare` };
      }
      const rise = tidy(last.value / first.value - 1);
      const verdict =
        rise >= 0
          ? verdictOver(rise, f.breakawayWatchOver, f.breakawayPlanOver, f.breakawayActOver)
          : verdictOver(
              -rise,
              f.breakawayFallWatchOver,
              f.breakawayFallPlanOver,
              f.breakawayFallActOver,
            );
      const percent = `${rise < 0 ? '' : '+'}${Math.round(rise * 100)} %`;
      return { verdict, because: `${words}, ${percent} against ${first.doneOn}: ${verdict}` };
    },
  );
}

/** Says that a side lags, which is `act` whatever the force, where the last look found so. */
export function laggingSide(
  readings: Readings,
): Pick<Judged, 'verdict' | 'doneOn' | 'because'> | null {
  const last = readings.inOrder.findLast(({ oneSideLags }) => oneSideLags !== undefined);
  return last?.oneSideLags === true && holds(last, readings)
    ? { verdict: 'act', doneOn: last.doneOn, because: `one side lags on ${last.doneOn}: act` }
    : null;
}

/**
 * Takes the readings from the fitting day to today. Throws RangeError on days that do not exist,
 * measures that are no numbers from 0 up, and a breakaway force of 0.
 */
export function readingsOf(
  readings: readonly FrameReading[],
  fittedOn: Day,
  today: Day,
  repairedOn: Day | null,
): Readings {
  for (const day of [fittedOn, today, repairedOn, ...readings.map(({ doneOn }) => doneOn)]) {
    if (day !== null && !isDay(day)) throw new RangeError(`${day} is no day of the calendar`);
  }
  for (const { swayMm = 0, diagonalsMm: d = { left: 0, right: 0 }, breakawayN = 1 } of readings) {
    for (const measure of [swayMm, d.left, d.right, breakawayN]) {
      if (!(measure >= 0 && Number.isFinite(measure))) {
        throw new RangeError('a measure of the frame must be a number from 0 up');
      }
    }
    if (breakawayN === 0) throw new RangeError('a frame that starts at 0 N was not measured');
  }
  const inOrder = readings
    .filter(({ doneOn }) => doneOn >= fittedOn && doneOn <= today)
    .sort((a, b) => daysBetween(b.doneOn, a.doneOn));
  return { inOrder, repairedOn };
}

function holds({ doneOn }: { readonly doneOn: Day }, { repairedOn }: Readings): boolean {
  return repairedOn === null || doneOn > repairedOn;
}

function judge(
  readings: Readings,
  valueOf: (reading: FrameReading) => number | undefined,
  say: (last: Dated, first: Dated | null) => Pick<Judged, 'verdict' | 'because'>,
): Judged | null {
  const values = readings.inOrder.flatMap((reading) => {
    const value = valueOf(reading);
    return value === undefined ? [] : [{ doneOn: reading.doneOn, value }];
  });
  const last = values.at(-1);
  if (!last || !holds(last, readings)) return null;
  const baseline = values.length > 1 ? (values[0] ?? null) : null;
  return { ...last, baseline, ...say(last, baseline) };
}

function difference({ diagonalsMm }: FrameReading): number | undefined {
  return diagonalsMm && tidy(Math.abs(diagonalsMm.left - diagonalsMm.right));
}

/** Rounded past the error of binary fractions: 3.3 - 0.3 is 3 and no more. */
function tidy(value: number): number {
  return Number(value.toFixed(9));
}
