import type { IntervalLife } from './interval.ts';
import { countAlike } from './interval.ts';
import { turnbull } from './turnbull.ts';
import type { TurnbullStep } from './turnbull.ts';

export interface IntervalComparison {
  /** Losses of each group more than if both lasted alike; the two are opposite. */
  readonly excess: readonly [number, number];
  /** Spread of the excess, lives of one cluster going together in any way. */
  readonly variance: number;
  readonly clusters: number;
}

/**
 * Compares two groups of lives known only between two looks: the score test of proportional hazards
 * on Turnbull's curve of both together (Finkelstein 1986, Biometrics 42, 845-854), which is the
 * log-rank test where every life is dated. The variance is summed over clusters (Liang & Zeger 1986)
 * with the factor G/(G - 1). Null where nothing failed in a way that could tell the groups apart.
 * Throws RangeError for an interval that is none.
 */
export function compareIntervals(
  first: readonly IntervalLife[],
  second: readonly IntervalLife[],
): IntervalComparison | null {
  const all = [...first, ...second];
  const { steps } = turnbull(all);
  const { alike, placeOf } = countAlike(all);
  const scores = alike.map((life) => scoreOf(life, steps));
  const meanOfFirst = first.length / all.length;
  let excess = 0;
  const sums = new Map<string | number, number>();
  all.forEach((life, i) => {
    const score = scores[placeOf[i]!]!;
    const away = ((i < first.length ? 1 : 0) - meanOfFirst) * score;
    excess += away;
    const key = life.cluster ?? i;
    sums.set(key, (sums.get(key) ?? 0) + away);
  });
  const clusters = sums.size;
  if (clusters < 2) return null;
  let squares = 0;
  for (const sum of sums.values()) squares += sum * sum;
  const variance = (squares * clusters) / (clusters - 1);
  return variance > NOTHING ? { excess: [excess, -excess], variance, clusters } : null;
}

const NOTHING = 1e-12;

/** How much one life failed above what the curve expects of it: from minus infinity to one. */
function scoreOf(
  { after, by }: Omit<IntervalLife, 'cluster'>,
  steps: readonly TurnbullStep[],
): number {
  const from = leftAt(steps, after);
  const to = by === null ? 0 : leftAt(steps, by);
  return (timesLog(from) - timesLog(to)) / (from - to);
}

function leftAt(steps: readonly TurnbullStep[], time: number): number {
  return steps.findLast(({ by }) => by !== null && by <= time)?.survival ?? 1;
}

function timesLog(share: number): number {
  return share <= 0 ? 0 : share * Math.log(share);
}
