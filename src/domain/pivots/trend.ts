import { mannKendall } from './mann-kendall.ts';
import { pointsOf } from './points.ts';
import { theilSen } from './theil-sen.ts';
import type { SlopeFit } from './theil-sen.ts';

/** One reading: x in any unit of time, y in any unit of wear. */
export interface TrendReading {
  readonly x: number;
  readonly y: number;
}

/** The line through a series, per unit of x, and whether chance alone would explain it. */
export interface Trend extends SlopeFit {
  /** Mann-Kendall's S. */
  readonly s: number;
  /** Two-sided; exact up to ten readings. */
  readonly p: number;
  readonly n: number;
}

export interface TrendRefused {
  /** What is missing or wrong, in words. */
  readonly refused: string;
}

/** Every pair is looked at, so time grows with the square; no pivot is ever read so often. */
export const MOST_READINGS = 2000;
const LEAST_READINGS = 3;
/** Beyond this, differences and sums of readings could leave the range of numbers. */
const MOST = 1e100;

/**
 * Theil-Sen slope with Sen's interval and what it attains, and the Mann-Kendall test, in any order of the readings.
 * Readings at the same x are allowed; their pairs say nothing and are skipped. Refused, with the
 * reason, rather than answered badly: under three readings, all at one x, numbers not finite.
 */
export function trend(input: {
  readonly readings: readonly TrendReading[];
  readonly confidence?: number | undefined;
}): Trend | TrendRefused {
  const { readings, confidence = 0.95 } = input;
  const n = readings.length;
  if (!(confidence > 0 && confidence < 1)) {
    return { refused: 'the confidence must lie between 0 and 1' };
  }
  const xs: number[] = [];
  const ys: number[] = [];
  for (const { x, y } of readings) {
    if (!Number.isFinite(x) || !Number.isFinite(y)) {
      return { refused: `reading ${xs.length + 1} is not a finite number` };
    }
    if (Math.abs(x) > MOST || Math.abs(y) > MOST) {
      return { refused: `reading ${xs.length + 1} is too large to be reckoned with` };
    }
    xs.push(x);
    ys.push(y);
  }
  if (n < LEAST_READINGS) return { refused: tooFew(n, LEAST_READINGS) };
  if (n > MOST_READINGS) return { refused: `more than ${MOST_READINGS} readings in one series` };
  const points = pointsOf(xs, ys);
  const fit = theilSen(points, confidence);
  if (!fit)
    return { refused: 'all readings were taken at the same time: one at another is missing' };
  const { slope, low, high, coverage, intercept } = fit;
  // Readings at all but the same time have slopes beyond the range of numbers.
  if (!Number.isFinite(high - low) || !Number.isFinite(intercept)) {
    return { refused: 'the readings lie too close in time to be reckoned with' };
  }
  const { s, p } = mannKendall(points);
  return { slope, low, high, coverage, intercept, s, p, n };
}

/** Whether a trend was refused. */
export function isRefused(result: Trend | TrendRefused): result is TrendRefused {
  return 'refused' in result;
}

/** What is missing where a series is too short for what it is wanted for. */
export function tooFew(n: number, least: number, wanted = 'a trend'): string {
  const have = n === 0 ? 'no readings' : n === 1 ? 'one reading' : `${n} readings`;
  return `${have}, and ${wanted} needs ${least}: ${least - n} more ${least - n === 1 ? 'is' : 'are'} missing`;
}
