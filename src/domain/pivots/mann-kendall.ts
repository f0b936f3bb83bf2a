import { erfc } from '../statistics/chi-square.ts';
import { exactTail } from './mann-kendall-exact.ts';
import { spreadTerm } from './points.ts';
import type { Points } from './points.ts';

/** Longest series whose chance is counted out exactly. */
export const EXACT_UP_TO = 10;

export interface MannKendall {
  /** Rising pairs less falling pairs; pairs at the same x or of the same y count for nothing. */
  readonly s: number;
  /** Variance of `s` under no trend, corrected for ties in y and, as Kendall has it, in x too. */
  readonly variance: number;
  /** Standard normal under no trend, with the correction for continuity. */
  readonly z: number;
  /** Two-sided chance of an |s| so large if there were no trend. */
  readonly p: number;
}

/**
 * Mann-Kendall test for a trend (Mann 1945, Kendall 1975). Up to ten readings `p` is exact: every
 * order of the readings is equally likely, ties kept as they are. Above, it is the normal
 * approximation with the corrections for continuity and ties.
 */
export function mannKendall(points: Points): MannKendall {
  const { xTies, yTies } = points;
  const s = score(points);
  const n = points.xs.length;
  const variance = tieVariance(n, xTies, yTies);
  const z = standardised(s, variance);
  const p = n <= EXACT_UP_TO ? exactTail(xTies, yTies, s) : normalTail(z);
  return { s, variance, z, p };
}

/**
 * The share of series in which the slopes of all pairs at different x, ordered, hold the true slope
 * between the one at `lowRank` and the one at `highRank`, counted from 0 (Sen 1968: the slope is
 * above those below it, so that Kendall's S of what remains tells its rank). Exact up to ten
 * readings, where errors have no ties.
 */
export function rankCoverage(
  xTies: readonly number[],
  slopes: number,
  lowRank: number,
  highRank: number,
): number {
  const n = total(xTies, (size) => size);
  const noTies = Array.from({ length: n }, () => 1);
  const beyond = (s: number) =>
    n <= EXACT_UP_TO
      ? // Which of the two rankings has the ties makes no difference, and so it is counted quickly.
        exactTail(noTies, xTies, s)
      : normalTail(standardised(s, tieVariance(n, xTies, noTies)));
  return 1 - (beyond(slopes - 2 * lowRank) + beyond(2 * (highRank + 1) - slopes)) / 2;
}

/** Standard normal under no trend, with the correction for continuity. */
function standardised(s: number, variance: number): number {
  return variance > 0 ? (Math.sign(s) * Math.max(Math.abs(s) - 1, 0)) / Math.sqrt(variance) : 0;
}

/** Two-sided. */
function normalTail(z: number): number {
  return erfc(Math.abs(z) / Math.SQRT2);
}

function score({ xs, ys }: Points): number {
  let s = 0;
  for (let i = 0; i < xs.length; i += 1) {
    const x = xs[i]!;
    const y = ys[i]!;
    for (let j = i + 1; j < xs.length; j += 1) {
      s += Math.sign(xs[j]! - x) * Math.sign(ys[j]! - y);
    }
  }
  // Adding zero turns a negative zero into zero.
  return s + 0;
}

/** Kendall's variance of s with ties in both rankings (Kendall, Rank Correlation Methods, ch. 4). */
function tieVariance(n: number, xTies: readonly number[], yTies: readonly number[]): number {
  let variance = (spreadTerm(n) - total(xTies, spreadTerm) - total(yTies, spreadTerm)) / 18;
  if (n > 1) variance += (total(xTies, pairs) * total(yTies, pairs)) / (2 * pairs(n));
  if (n > 2) variance += (total(xTies, triples) * total(yTies, triples)) / (9 * triples(n));
  return variance;
}

function total(ties: readonly number[], term: (size: number) => number): number {
  let sum = 0;
  for (const size of ties) sum += term(size);
  return sum;
}

function pairs(n: number): number {
  return n * (n - 1);
}

function triples(n: number): number {
  return n * (n - 1) * (n - 2);
}
