import type { IntervalLife } from '../statistics/interval.ts';
import { compareIntervals } from '../statistics/interval-log-rank.ts';
import { chiSquare1Survival } from '../statistics/chi-square.ts';
import type { GroupCount, LogRankRefusal } from './log-rank.ts';

export interface LifeComparison {
  readonly chiSquare: number;
  /** Chance of so large a difference, one degree of freedom, if the two lives were alike. */
  readonly p: number;
  readonly groups: readonly [GroupCount, GroupCount];
  /** Cars that the spread was taken over. */
  readonly clusters: number;
}

/**
 * Whether the parts of two groups last alike, each loss known to lie between two looks and the parts
 * of one car not taken as independent. Refused, with the number of losses, where a group has parts of
 * one car only, whose keeping is then all the difference, and where nothing failed that could tell.
 * Throws RangeError for an interval that is none.
 */
export function compareLives(
  first: readonly IntervalLife[],
  second: readonly IntervalLife[],
): LifeComparison | LogRankRefusal {
  const [lostFirst, lostSecond] = [lossesOf(first), lossesOf(second)];
  const events = lostFirst + lostSecond;
  if (clustersOf(first) < 2 || clustersOf(second) < 2) {
    return { refused: 'each group needs washers of at least two cars', events };
  }
  const found = compareIntervals(first, second);
  if (found === null) return { refused: 'no loss that could tell the groups apart', events };
  const { excess, variance, clusters } = found;
  const chiSquare = excess[0] ** 2 / variance;
  return {
    chiSquare,
    p: chiSquare1Survival(chiSquare),
    groups: [
      { n: first.length, observed: lostFirst, expected: lostFirst - excess[0] },
      { n: second.length, observed: lostSecond, expected: lostSecond - excess[1] },
    ],
    clusters,
  };
}

function lossesOf(lives: readonly IntervalLife[]): number {
  return lives.filter(({ by }) => by !== null).length;
}

function clustersOf(lives: readonly IntervalLife[]): number {
  return new Set(lives.map(({ cluster }, i) => cluster ?? i)).size;
}
