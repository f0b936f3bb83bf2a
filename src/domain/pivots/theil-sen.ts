import { chiSquare1Quantile } from '../life/chi-square.ts';
import { spreadTerm, tieSizes } from './ties.ts';

/** A straight line through points, with the confidence interval of its slope. */
export interface SlopeFit {
  /** Median of the slopes of all pairs of points at different x. */
  readonly slope: number;
  readonly low: number;
  readonly high: number;
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
 * Takes finite numbers and a confidence between 0 and 1.
 */
export function theilSen(
  xs: readonly number[],
  ys: readonly number[],
  confidence: number,
): SlopeFit | null {
  const slopes = pairSlopes(xs, ys);
  if (slopes.length === 0) return null;
  const variance = senVariance(xs, ys);
  const half = variance < 0 ? Infinity : normalQuantile(confidence) * Math.sqrt(variance);
  const last = slopes.length - 1;
  const lowRank = Math.max(roundHalfEven((slopes.length - half) / 2) - 1, 0);
  const highRank = Math.min(roundHalfEven((slopes.length + half) / 2), last);
  const slope = medianOfSorted(slopes);
  return {
    slope,
    low: slopes[lowRank] ?? slope,
    high: slopes[highRank] ?? slope,
    intercept: median(ys) - slope * median(xs),
  };
}

/** The middle number, or the mean of the middle two. Throws RangeError on an empty list. */
export function median(numbers: readonly number[]): number {
  return medianOfSorted(Float64Array.from(numbers).sort());
}

/** Slopes of all pairs at different x, smallest first. */
function pairSlopes(xs: readonly number[], ys: readonly number[]): Float64Array {
  const n = xs.length;
  const slopes = new Float64Array((n * (n - 1)) / 2);
  let count = 0;
  for (let i = 0; i < n; i += 1) {
    const x = xs[i] ?? 0;
    const y = ys[i] ?? 0;
    for (let j = i + 1; j < n; j += 1) {
      const dx = (xs[j] ?? 0) - x;
      if (dx === 0) continue;
      // Adding zero turns a negative zero, which would be printed, into zero.
      slopes[count] = ((ys[j] ?? 0) - y) / dx + 0;
      count += 1;
    }
  }
  return slopes.subarray(0, count).sort();
}

function senVariance(xs: readonly number[], ys: readonly number[]): number {
  let sum = spreadTerm(xs.length);
  for (const size of tieSizes(xs)) sum -= spreadTerm(size);
  for (const size of tieSizes(ys)) sum -= spreadTerm(size);
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

function medianOfSorted(sorted: Float64Array): number {
  const middle = sorted.length >> 1;
  const upper = sorted[middle];
  if (upper === undefined) throw new RangeError('median of no numbers');
  return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] ?? upper) + upper) / 2;
}

function roundHalfEven(value: number): number {
  const floor = Math.floor(value);
  const rest = value - floor;
  if (rest !== 0.5) return Math.round(value);
  return floor % 2 === 0 ? floor : floor + 1;
}
