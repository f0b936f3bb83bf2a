import type { Day } from '../calendar/day.ts';
import type { PivotFigures } from './figures.ts';
import type { PriorOf } from './pivot-report.ts';
import { poolOf } from './projection.ts';
import { standing } from './series.ts';
import type { PivotRecord } from './series.ts';

/**
 * What the pivots of other cars of one frame pattern tell of wear, by kind and method; fitted once
 * for each. The joint that is judged must not be among them, or it would be heard twice. Readings
 * after `today`, before a repair, or of fewer than two days are left out.
 */
export function wearPool(
  others: readonly PivotRecord[],
  today: Day,
  figures: PivotFigures,
): PriorOf {
  const known = others.map((record) => ({
    kind: record.kind,
    readings: standing(record, today).readings,
  }));
  const fitted = new Map<string, ReturnType<PriorOf>>();
  return (kind, method) => {
    const key = `${kind} ${method}`;
    if (fitted.has(key)) return fitted.get(key);
    const series = known
      .filter((other) => other.kind === kind)
      .map(({ readings }) => readings.filter((reading) => reading.method === method))
      .filter((readings) => new Set(readings.map(({ doneOn }) => doneOn)).size > 1);
    const prior = series.length > 0 ? poolOf(series, method, figures) : undefined;
    fitted.set(key, prior);
    return prior;
  };
}
