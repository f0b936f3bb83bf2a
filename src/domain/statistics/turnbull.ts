import { monotone } from './monotone.ts';
import { countAlike, requireIntervals } from './interval.ts';
import type { AlikeLives, IntervalLife } from './interval.ts';

/**
 * A stretch of time in which a share of the lives ends. Where in it they end, nothing tells: the
 * curve falls from the step before to `survival` somewhere after `after` and no later than `by`.
 */
export interface TurnbullStep {
  readonly after: number;
  /** Null for those that outlive every look. */
  readonly by: number | null;
  readonly share: number;
  /** Share left once the stretch has passed. */
  readonly survival: number;
}

export interface TurnbullCurve {
  /** Stretches that hold a share of the lives, earliest first. */
  readonly steps: readonly TurnbullStep[];
  readonly logLikelihood: number;
  /**
   * How far the likelihood of any other curve could lie above this one, at most, in units of its
   * logarithm; nought at the true maximum (Lindsay's bound from the Kuhn-Tucker conditions).
   */
  readonly gap: number;
}

/** The gap at which the curve counts as found, per life. */
const ENOUGH = 1e-9;
const MOST_ROUNDS = 2_000;
const SMALLEST_STEP = 2 ** -20;

/**
 * Survival curve of lives known only between two looks, with no shape assumed (Turnbull 1976, J. R.
 * Stat. Soc. B 38, 290-295). Found by turns of self-consistency and of the iterative convex minorant
 * (Wellner & Zhan 1997, J. Am. Stat. Assoc. 92, 945-959); the Kuhn-Tucker conditions decide when it
 * is found. Intervals are open below and closed above. No lives give no steps.
 * Throws RangeError for an interval that is none, and where the conditions are not met in 2,000 rounds.
 */
export function turnbull(lives: readonly IntervalLife[]): TurnbullCurve {
  requireIntervals(lives);
  if (lives.length === 0) return { steps: [], logLikelihood: 0, gap: 0 };
  const { alike } = countAlike(lives);
  const stretches = innermost(alike);
  const spans = spansOf(alike, stretches);
  let shares: number[] = stretches.map(() => 1 / stretches.length);
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const slopes = slopesOf(spans, shares);
    const gap = Math.max(...slopes) - lives.length;
    if (gap <= ENOUGH * lives.length) return curveOf(stretches, shares, spans, Math.max(0, gap));
    shares = shares.map((share, j) => (share * slopes[j]!) / lives.length);
    shares = convexMinorant(spans, shares);
  }
  throw new RangeError('turnbull: the Kuhn-Tucker conditions were not met');
}

interface Stretch {
  readonly after: number;
  readonly by: number;
}

/**
 * The stretches from a lower end to the next upper end with no other end between: only these can hold
 * a share. At one instant an upper end, which belongs to its interval, stands before a lower one.
 */
function innermost(lives: readonly AlikeLives[]): Stretch[] {
  const ends = lives.flatMap(({ after, by }) => [
    { at: after, lower: true },
    { at: by ?? Infinity, lower: false },
  ]);
  ends.sort((a, b) => (a.at === b.at ? Number(a.lower) - Number(b.lower) : a.at < b.at ? -1 : 1));
  return ends.flatMap((end, i) => {
    const next = ends[i + 1];
    return end.lower && next !== undefined && !next.lower ? [{ after: end.at, by: next.at }] : [];
  });
}

/** The stretches that `n` lives may have ended in, from `first` to `last`. */
interface Span {
  readonly first: number;
  readonly last: number;
  readonly n: number;
}

function spansOf(lives: readonly AlikeLives[], stretches: readonly Stretch[]): Span[] {
  return lives.map(({ after, by, n }) => ({
    n,
    first: firstIndex(stretches, (stretch) => stretch.after >= after),
    last: by === null ? stretches.length - 1 : firstIndex(stretches, (s) => s.by > by) - 1,
  }));
}

/** The first index at which `holds` is true, where it is false before and true from there on. */
function firstIndex<T>(items: readonly T[], holds: (item: T) => boolean): number {
  let low = 0;
  let high = items.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (holds(items[middle]!)) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** Running sums: the share that ends before each stretch, and all of it at the end. */
function cumulated(shares: readonly number[]): number[] {
  const sums = [0];
  for (const share of shares) sums.push(sums.at(-1)! + share);
  return sums;
}

/** How fast the log-likelihood rises with each share: at most the number of lives at the maximum. */
function slopesOf(spans: readonly Span[], shares: readonly number[]): number[] {
  const sums = cumulated(shares);
  const change = new Float64Array(shares.length + 1);
  for (const { first, last, n } of spans) {
    const rise = n / (sums[last + 1]! - sums[first]!);
    change[first]! += rise;
    change[last + 1]! -= rise;
  }
  let slope = 0;
  return shares.map((_share, j) => (slope += change[j]!));
}

function logLikelihoodOf(spans: readonly Span[], sums: readonly number[]): number {
  let sum = 0;
  for (const { first, last, n } of spans) sum += n * Math.log(sums[last + 1]! - sums[first]!);
  return sum;
}

/**
 * One Newton step on the running sums with the second derivatives on the diagonal alone, brought back
 * to a rising curve by weighted pooling, and shortened until the likelihood rises.
 */
function convexMinorant(spans: readonly Span[], shares: readonly number[]): number[] {
  const m = shares.length;
  const sums = cumulated(shares);
  const slope = new Float64Array(m + 1);
  const bend = new Float64Array(m + 1);
  for (const { first, last, n } of spans) {
    const rise = 1 / (sums[last + 1]! - sums[first]!);
    slope[last + 1]! += n * rise;
    slope[first]! -= n * rise;
    bend[last + 1]! += n * rise * rise;
    bend[first]! += n * rise * rise;
  }
  const inner = sums.slice(1, m);
  const aims = inner.map((sum, k) => sum + slope[k + 1]! / bend[k + 1]!);
  const weights = inner.map((_sum, k) => bend[k + 1]!);
  const aim = monotone(aims, weights).map((sum) => Math.min(1, Math.max(0, sum)));
  const before = logLikelihoodOf(spans, sums);
  for (let part = 1; part >= SMALLEST_STEP; part /= 2) {
    const tried = inner.map((sum, k) => sum + part * (aim[k]! - sum));
    const whole = [0, ...tried, 1];
    if (logLikelihoodOf(spans, whole) > before) {
      return shares.map((_share, j) => whole[j + 1]! - whole[j]!);
    }
  }
  return [...shares];
}

/** Below this share a stretch is empty but for rounding. */
const NOTHING = 1e-9;

function curveOf(
  stretches: readonly Stretch[],
  shares: readonly number[],
  spans: readonly Span[],
  gap: number,
): TurnbullCurve {
  const sums = cumulated(shares);
  const steps = stretches.flatMap(({ after, by }, j): TurnbullStep[] => {
    const share = shares[j]!;
    if (share <= NOTHING) return [];
    const survival = Math.max(0, 1 - sums[j + 1]!);
    return [{ after, by: by === Infinity ? null : by, share, survival }];
  });
  return { steps, logLikelihood: logLikelihoodOf(spans, sums), gap };
}
