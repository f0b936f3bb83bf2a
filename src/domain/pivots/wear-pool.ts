import type { Day } from '../calendar/day.ts';
import { wearPool } from '../statistics/wear-rate.ts';
import type { WearPrior } from '../statistics/wear-rate.ts';
import type { PivotFigures } from './figures.ts';
import type { PivotKind } from './frame-patterns.ts';
import { beliefIn, yearsOf } from './projection.ts';
import { standing } from './series.ts';
import type { Method, PivotRecord } from './series.ts';

/** What other cars tell of a joint's wear; undefined where none does and the shop rule stands in. */
export type PriorOf = (kind: PivotKind, method: Method) => WearPrior | undefined;

/** A pivot of a car that is pooled. */
export interface PooledPivot {
  readonly carId: string;
  readonly record: PivotRecord;
}

/**
 * What the pivots of cars of one frame pattern tell of wear, by kind and method; fitted when it is
 * first asked for. A car is judged by the others alone, whether or not it is in the pool, or it would
 * be heard twice. Readings after `today`, before a repair, or of fewer than two days are left out.
 */
export function wearPools(
  pool: readonly PooledPivot[],
  today: Day,
  figures: PivotFigures,
): (carId: string) => PriorOf {
  const known = pool.map(({ carId, record }) => ({
    carId,
    kind: record.kind,
    readings: standing(record, today).readings,
  }));
  const fitted = new Map<string, ReturnType<typeof wearPool>>();
  const poolOf = (kind: PivotKind, method: Method) => {
    const kept = fitted.get(`${kind} ${method}`);
    if (kept !== undefined) return kept;
    const series = known
      .filter((other) => other.kind === kind)
      .map(({ carId, readings }) => ({
        car: carId,
        series: yearsOf(readings.filter((reading) => reading.method === method)),
      }));
    const made = wearPool(series, beliefIn(method, figures));
    fitted.set(`${kind} ${method}`, made);
    return made;
  };
  return (carId) => {
    const priors = new Map<string, ReturnType<PriorOf>>();
    return (kind, method) => {
      const key = `${kind} ${method}`;
      if (!priors.has(key)) {
        const prior = poolOf(kind, method)(carId);
        priors.set(key, prior.pooled > 0 ? prior : undefined);
      }
      return priors.get(key);
    };
  };
}
