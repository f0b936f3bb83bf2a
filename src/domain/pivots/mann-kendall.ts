import { erfc } from '../statistics/chi-square.ts';
import { exactTail } from './mann-kendall-exact.ts';
import { noTies, spreadTerm } from './points.ts';
import type { Points } from './points.ts';

/** Longest series whose chance is counted out exactly. */
export const EXACT_UP_TO = 10;

export interface MannKendall {
  /** Rising pairs less falling pairs. */
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
  const { xs, xTies, yTies, score: s } = points;
  const n = xs.length;
  const variance = tieVariance(n, xTies, yTies);
  const z = standardised(s, variance);
  const p = n <= EXACT_UP_TO ? chanceIn(exactTail(xTies, yTies), s) : normalTail(z);
  return { s, variance, z, p };
}

/**
 * The share of series in which the slopes of all pairs at different x, ordered, hold the true slope
 * between the one at `lowRank` and the one at `highRank`, counted from 0 (Sen 1968: the slope is
 * above those below it, so that Kendall's S of what remains tells its rank). Exact up to ten
 * readings, where errors have no ties.
 */
export function rankCoverage(
  { xs, xTies, slopes }: Points,
  lowRank: number,
  highRank: number,
): number {
  const n = xs.length;
  const above = slopes.length - 2 * lowRank;
  const below = 2 * (highRank + 1) - slopes.length;
  if (n <= EXACT_UP_TO) {
    // Which of the two rankings has the ties makes no difference, and so it is counted quickly.
    const tail = exactTail(noTies(n), xTies);
    return 1 - (chanceIn(tail, above) + chanceIn(tail, below)) / 2;
  }
  const variance = tieVariance(n, xTies, noTies(n));
  const beyond = (s: number) => normalTail(standardised(s, variance));
  return 1 - (beyond(above) + beyond(below)) / 2;
}

function chanceIn(tail: Float64Array, s: number): number {
  return tail[Math.abs(s)] ?? 0;
}

/** Standard normal under no trend, with the correction for continuity. */
function standardised(s: number, variance: number): number {
  return variance > 0 ? (Math.sign(s) * Math.max(Math.abs(s) - 1, 0)) / Math.sqrt(variance) : 0;
}

/** Two-sided. */
function normalTail(z: number): number {
  return erfc(Math.abs(z) / Math.SQRT2);
}

/** Kendall's variance of s with ties in both rankings (Kendall, Rank Correlation Methods, ch. 4). */
function tieVariance(n: number, xTies: readonly number[], yTies: readonly number[]): number {
  const x = tieTerms(xTies);
  const y = tieTerms(yTies);
  let variance = (spreadTerm(n) - x.spread - y.spread) / 18;
  if (n > 1) variance += (x.pairs * y.pairs) / (2 * pairs(n));
  if (n > 2) variance += (x.triples * y.triples) / (9 * triples(n));
  return variance;
}

function tieTerms(ties: readonly number[]) {
  const terms = { spread: 0, pairs: 0, triples: 0 };
  for (const size of ties) {
    terms.spread += spreadTerm(size);
    terms.pairs += pairs(size);
    terms.triples += triples(size);
  }
  return terms;
}

function pairs(n: number): number {
  return n * (n - 1);
}

function triples(n: number): number {
  return n * (n - 1) * (n - 2);
}
