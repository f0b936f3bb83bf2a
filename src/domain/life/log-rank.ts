import { chiSquare1Survival } from '../statistics/chi-square.ts';
import { eventTimes } from './observation.ts';
import type { Observation, Tie } from './observation.ts';

/**
 * How much each failure time counts: `log-rank` all alike, the others give more to early
 * differences (Wilcoxon after Gehan by the number at risk, Tarone-Ware by its root, Peto by the
 * survival estimate product of 1 - d/(n + 1)).
 */
export type Weighting = 'log-rank' | 'wilcoxon' | 'tarone-ware' | 'peto';

/** Failures seen and expected in one of the two groups (both weighted, if weights are used). */
export interface GroupCount {
  readonly n: number;
  readonly observed: number;
  readonly expected: number;
}

export interface LogRankResult {
  readonly chiSquare: number;
  /** Chance of so large a difference, one degree of freedom, if the two lives were alike. */
  readonly p: number;
  readonly groups: readonly [GroupCount, GroupCount];
  /** Hypergeometric variance of observed - expected. */
  readonly variance: number;
}

export interface LogRankRefusal {
  readonly refused: string;
  readonly events: number;
}

/**
 * Tests whether two groups of lives fail alike (Mantel 1966). Refused, with the number of
 * failures, where no failure happened while both groups were under watch: then nothing can be
 * compared. Throws RangeError if a time is negative or not finite.
 */
export function logRank(
  first: readonly Observation[],
  second: readonly Observation[],
  weighting: Weighting = 'log-rank',
): LogRankResult | LogRankRefusal {
  const ties = eventTimes([...first, ...second]);
  const ofFirst = countsAt(first, ties);
  let observed = 0;
  let expected = 0;
  let variance = 0;
  let total = 0;
  let events = 0;
  let peto = 1;
  ties.forEach((tie, index) => {
    const mine = ofFirst[index]!;
    peto *= 1 - tie.events / (tie.atRisk + 1);
    const weight = WEIGHTS[weighting](tie, peto);
    const share = mine.atRisk / tie.atRisk;
    observed += weight * mine.events;
    expected += weight * tie.events * share;
    total += weight * tie.events;
    events += tie.events;
    if (tie.atRisk > 1) {
      const spread = (tie.atRisk - tie.events) / (tie.atRisk - 1);
      variance += weight * weight * tie.events * share * (1 - share) * spread;
    }
  });
  if (variance <= 0) {
    return { refused: 'no failure while both groups were under watch', events };
  }
  const chiSquare = (observed - expected) ** 2 / variance;
  return {
    chiSquare,
    p: chiSquare1Survival(chiSquare),
    groups: [
      { n: first.length, observed, expected },
      { n: second.length, observed: total - observed, expected: total - expected },
    ],
    variance,
  };
}

/** At risk and failed in one group at each failure time of both together. */
function countsAt(group: readonly Observation[], ties: readonly Tie[]): Omit<Tie, 'time'>[] {
  const sorted = group.toSorted((a, b) => a.time - b.time);
  let gone = 0;
  return ties.map(({ time }) => {
    while (gone < sorted.length && sorted[gone]!.time < time) gone += 1;
    let events = 0;
    for (let i = gone; i < sorted.length && sorted[i]!.time === time; i += 1) {
      if (sorted[i]!.event) events += 1;
    }
    return { atRisk: sorted.length - gone, events };
  });
}

const WEIGHTS: Readonly<Record<Weighting, (tie: Tie, peto: number) => number>> = {
  'log-rank': () => 1,
  wilcoxon: (tie) => tie.atRisk,
  'tarone-ware': (tie) => Math.sqrt(tie.atRisk),
  peto: (_tie, peto) => peto,
};
