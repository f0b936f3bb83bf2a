import type { Day } from '../domain/calendar/day.ts';
import type { PivotKind } from '../domain/pivots/frame-patterns.ts';
import type { PivotRecord } from '../domain/pivots/series.ts';
import type { PivotState } from '../domain/pivots/state.ts';
import type { Sql } from './sql.ts';
import { flag } from './sql.ts';

/** A pivot with all that was ever read at it, and when the frame had it. */
export interface ReadPivot {
  readonly id: string;
  readonly carId: string;
  readonly since: Day;
  readonly retiredOn: Day | null;
  readonly record: PivotRecord;
}

/**
 * The pivots of an organisation's cars, or of one of them, with their readings: car by car, from the
 * body forward, retired pivots too. Two queries, however many cars there are.
 */
export async function readPivots(
  sql: Sql,
  organisationId: string,
  carId?: string,
): Promise<ReadPivot[]> {
  const cars = `"car" c WHERE c."organisationId" = ?${carId === undefined ? '' : ' AND c."id" = ?'}`;
  const values = carId === undefined ? [organisationId] : [organisationId, carId];
  const pivots = await sql.all<PivotRow>(
    `SELECT p."id", p."carId", p."code", p."kind", p."washersExpected", p."since", p."retiredOn" FROM "pivot" p WHERE p."carId" IN (SELECT c."id" FROM ${cars}) ORDER BY p."carId", p."place"`,
    values,
  );
  const readings = await sql.all<ReadingRow>(
    `SELECT r."pivotId", r."doneOn", r."state", r."repaired", r."washersPresent", r."axialPlayMm", r."radialPlayMm" FROM "reading" r JOIN "pivot" p ON p."id" = r."pivotId" WHERE p."carId" IN (SELECT c."id" FROM ${cars}) ORDER BY r."doneOn", r."id"`,
    values,
  );
  const found = new Map<string, ReadPivot>();
  for (const row of pivots) found.set(row.id, emptyPivot(row));
  for (const row of readings) addReading(found.get(row.pivotId), row);
  return [...found.values()];
}

interface PivotRow {
  id: string;
  carId: string;
  code: string;
  kind: string;
  washersExpected: number;
  since: Day;
  retiredOn: Day | null;
}

interface ReadingRow {
  pivotId: string;
  doneOn: Day;
  state: string;
  repaired: unknown;
  washersPresent: number | null;
  axialPlayMm: number | null;
  radialPlayMm: number | null;
}

function emptyPivot({ id, carId, code, kind, washersExpected, since, retiredOn }: PivotRow) {
  const record = {
    code,
    kind: kind as PivotKind,
    washersExpected,
    readings: [],
    states: [],
    washers: [],
    repairs: [],
  };
  return { id, carId, since, retiredOn, record } satisfies ReadPivot;
}

/** What a visit read was found before its repair, so it belongs to the time before it. */
function addReading(pivot: ReadPivot | undefined, row: ReadingRow): void {
  if (pivot === undefined) return;
  const { readings, states, washers, repairs } = pivot.record as Filling;
  const { doneOn, washersPresent } = row;
  states.push({ doneOn, state: row.state as PivotState });
  if (washersPresent !== null) washers.push({ doneOn, present: washersPresent });
  if (row.axialPlayMm !== null) readings.push({ doneOn, method: 'axial', mm: row.axialPlayMm });
  if (row.radialPlayMm !== null) readings.push({ doneOn, method: 'radial', mm: row.radialPlayMm });
  if (flag(row.repaired)) repairs.push(doneOn);
}

type Filling = {
  -readonly [K in 'readings' | 'states' | 'washers' | 'repairs']: PivotRecord[K][number][];
};
