import { chiSquare1Quantile } from '../statistics/chi-square.ts';
import { rankCoverage } from './mann-kendall.ts';
import { medianOfSorted, spreadTerm } from './points.ts';
import type { Points } from './points.ts';

/** A straight line through points, with the confidence interval of its slope. */
export interface SlopeFit {
  /** Median of the slopes of all pairs of points at different x. */
  readonly slope: number;
  readonly low: number;
  readonly high: number;
  /**
   * The confidence that the interval attains. With few readings even all slopes together hold the
   * true one less often than was asked for: in 67 % of series of three, in 92 % of four.
   */
  readonly coverage: number;
  /**
   * median(y) - slope × median(x): the line goes through the point of the medians (Conover). The
   * other custom, median(y - slope × x), gives another crossing: 23.5 against 24 on Sen's data.
   */
  readonly intercept: number;
}

const quantiles = new Map<number, number>();

/**
 * Theil-Sen line and Sen's interval (Sen 1968, equation 2.6, with the tie terms and the rounding
 * of ranks of scipy.stats.theilslopes). Null where no two points differ in x. Where ties leave the
 * rank formula without a variance the whole range of slopes is given, which claims least.
 *
 * Takes a confidence between 0 and 1.
 */
export function theilSen(points: Points, confidence: number): SlopeFit | null {
  const { slopes } = points;
  if (slopes.length === 0) return null;
  const variance = senVariance(points);
  const half = variance < 0 ? Infinity : normalQuantile(confidence) * Math.sqrt(variance);
  const last = slopes.length - 1;
  const lowRank = Math.max(roundHalfEven((slopes.length - half) / 2) - 1, 0);
  const highRank = Math.min(roundHalfEven((slopes.length + half) / 2), last);
  const slope = medianOfSorted(slopes);
  // Equal slopes are one end, whichever of their ranks was meant.
  const lowEnd = slopes.indexOf(slopes[lowRank] ?? slope);
  const highEnd = slopes.lastIndexOf(slopes[highRank] ?? slope);
  return {
    slope,
    low: slopes[lowRank] ?? slope,
    high: slopes[highRank] ?? slope,
    coverage: rankCoverage(points, lowEnd, highEnd),
    intercept: points.yMedian - slope * points.xMedian,
  };
}

function senVariance({ xs, xTies, yTies }: Points): number {
  let sum = spreadTerm(xs.length);
  for (const size of xTies) sum -= spreadTerm(size);
  for (const size of yTies) sum -= spreadTerm(size);
  return sum / 18;
}

/** z inside which a standard normal variable lies, either side, with the given confidence. */
function normalQuantile(confidence: number): number {
  const known = quantiles.get(confidence);
  if (known !== undefined) return known;
  const z = Math.sqrt(chiSquare1Quantile(confidence));
  // An organisation has one confidence, but a caller of the bare rule may try any number of them.
  if (quantiles.size < 64) quantiles.set(confidence, z);
  return z;
}

function roundHalfEven(value: number): number {
  const floor = Math.floor(value);
  const rest = value - floor;
  if (rest !== 0.5) return Math.round(value);
  return floor % 2 === 0 ? floor : floor + 1;
}
