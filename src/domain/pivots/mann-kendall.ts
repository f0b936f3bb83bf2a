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
  const z = variance > 0 ? (Math.sign(s) * Math.max(Math.abs(s) - 1, 0)) / Math.sqrt(variance) : 0;
  const p = n <= EXACT_UP_TO ? exactTail(xTies, yTies, s) : erfc(Math.abs(z) / Math.SQRT2);
  return { s, variance, z, p };
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
