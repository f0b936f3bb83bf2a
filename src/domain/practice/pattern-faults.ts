import { valuesOf } from '../figures/figure.ts';
import type { PracticeValues } from './practice-figures.ts';
import { PRACTICE_FIGURES } from './practice-figures.ts';
import type { ObservedShare } from './wilson.ts';
import { wilsonInterval } from './wilson.ts';

/** A car that was looked at: the pattern of its frame, and what was ever found on it. */
export interface LookedAtCar {
  readonly pattern: string;
  readonly faults: ReadonlySet<string>;
}

/** How often a fault was found on cars of a pattern. */
export interface FaultShare {
  readonly fault: string;
  readonly cars: number;
  /** 95 % interval after Wilson; null where the cars are too few for one. */
  readonly share: ObservedShare | null;
}

export interface PatternFaults {
  readonly pattern: string;
  readonly cars: number;
  /** Null where the cars are so few that anything said would be about single members. */
  readonly faults: readonly FaultShare[] | null;
}

/**
 * Which faults the frames of a pattern have. Cars are counted and not joints or visits: what is found
 * on one car hangs together, so a car with four stiff joints is one car. Under few cars there is only
 * the count ("3 of 7 cars"), under fewer nothing. The most frequent fault stands first.
 */
export function patternFaults(
  cars: readonly LookedAtCar[],
  values: PracticeValues = valuesOf(PRACTICE_FIGURES),
): PatternFaults[] {
  const patterns = [...new Set(cars.map(({ pattern }) => pattern))].toSorted();
  return patterns.map((pattern) => {
    const own = cars.filter((car) => car.pattern === pattern);
    const of = own.length;
    if (of < values.fewestCarsToSay) return { pattern, cars: of, faults: null };
    const counts = new Map<string, number>();
    for (const { faults } of own) {
      for (const fault of faults) counts.set(fault, (counts.get(fault) ?? 0) + 1);
    }
    const faults = [...counts].map(([fault, count]) => ({
      fault,
      cars: count,
      share: of < values.fewestCarsForShare ? null : wilsonInterval(count, of),
    }));
    const inOrder = faults.toSorted((a, b) => b.cars - a.cars || (a.fault < b.fault ? -1 : 1));
    return { pattern, cars: of, faults: inOrder };
  });
}
