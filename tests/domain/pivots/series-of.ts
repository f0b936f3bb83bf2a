import type { TrendReading } from '../../../src/domain/pivots/trend.ts';

/** Readings from a list of x and a list of y of the same length. */
export function seriesOf(x: readonly number[], y: readonly number[]): TrendReading[] {
  return x.map((value, i) => ({ x: value, y: y[i] ?? Number.NaN }));
}
