import type { Method, PivotRecord, PlayReading } from '../../../src/domain/pivots/series.ts';

/** A main pivot on which nothing is recorded but what is given. */
export function recordOf(known: Partial<PivotRecord> = {}): PivotRecord {
  return {
    code: 'L-MAIN',
    kind: 'main',
    washersExpected: 2,
    readings: [],
    states: [],
    washers: [],
    repairs: [],
    ...known,
  };
}

/** Readings by one method, as [day, mm]. */
export function played(
  method: Method,
  ...rows: readonly (readonly [string, number])[]
): PlayReading[] {
  return rows.map(([doneOn, mm]) => ({ doneOn, method, mm }));
}
