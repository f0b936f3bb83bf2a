import type { Day } from '../../domain/calendar/day.ts';
import type { PivotKind } from '../../domain/pivots/frame-patterns.ts';
import type {
  PivotRecord,
  PlayReading,
  StateFound,
  WashersFound,
} from '../../domain/pivots/series.ts';
import type { PivotState } from '../../domain/pivots/state.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, flag } from '../database/sql.ts';

/** A pivot with all that was ever read at it, and when the frame had it. */
export interface ReadPivot {
  readonly id: string;
  readonly carId: string;
  readonly since: Day;
  readonly retiredOn: Day | null;
  /** Days on which it was oiled. */
  readonly oiledOn: readonly Day[];
  readonly record: PivotRecord;
}

/**
 * The pivots of an organisation's cars, or of some of them, with their readings: car by car, from the
 * body forward, retired pivots too. Two queries, however many cars there are.
 */
export async function readPivots(
  sql: Sql,
  organisationId: string,
  ofCars?: readonly string[],
): Promise<ReadPivot[]> {
  const cars = `"car" c WHERE c."organisationId" = ?${ofCars === undefined ? '' : ` AND c."id" ${AMONG}`}`;
  const values = [organisationId, ...(ofCars === undefined ? [] : [ofCars])];
  const pivots = await sql.all<PivotRow>(
    `SELECT p."id", p."carId", p."code", p."kind", p."washersExpected", p."since", p."retiredOn" FROM "pivot" p WHERE p."carId" IN (SELECT c."id" FROM ${cars}) ORDER BY p."carId", p."place"`,
    values,
  );
  const readings = await sql.all<ReadingRow>(
    `SELECT r."pivotId", r."doneOn", r."state", r."oiled", r."repaired", r."washersPresent", r."axialPlayMm", r."radialPlayMm" FROM "reading" r JOIN "pivot" p ON p."id" = r."pivotId" WHERE p."carId" IN (SELECT c."id" FROM ${cars}) ORDER BY r."doneOn", r."id"`,
    values,
  );
  const histories = new Map(pivots.map((row) => [row.id, { row, ...nothingRead() }]));
  for (const row of readings) addReading(histories.get(row.pivotId), row);
  return [...histories.values()].map(({ row, oiledOn, ...read }) => {
    const { id, carId, since, retiredOn, code, kind, washersExpected } = row;
    const record = { code, kind, washersExpected, ...read };
    return { id, carId, since, retiredOn, oiledOn, record };
  });
}

/**
 * The cars of a frame pattern on which play was ever measured, those longest on record first. The
 * condition is asked car by car in that order, so that a limit ends it early.
 */
export async function measuredCars(
  sql: Sql,
  organisationId: string,
  framePattern: string,
  limit: number,
): Promise<string[]> {
  const rows = await sql.all<{ carId: string }>(
    `SELECT t."carId" FROM "top" t WHERE t."organisationId" = ? AND t."framePattern" = ? AND t."retiredOn" IS NULL AND EXISTS (SELECT 1 FROM "pivot" p JOIN "reading" r ON r."pivotId" = p."id" WHERE p."carId" = t."carId" AND p."retiredOn" IS NULL AND (r."axialPlayMm" IS NOT NULL OR r."radialPlayMm" IS NOT NULL)) ORDER BY t."id" LIMIT ?`,
    [organisationId, framePattern, limit],
  );
  return rows.map(({ carId }) => carId);
}

interface PivotRow {
  id: string;
  carId: string;
  code: string;
  kind: PivotKind;
  washersExpected: number;
  since: Day;
  retiredOn: Day | null;
}

interface ReadingRow {
  pivotId: string;
  doneOn: Day;
  state: PivotState;
  oiled: unknown;
  repaired: unknown;
  washersPresent: number | null;
  axialPlayMm: number | null;
  radialPlayMm: number | null;
}

interface Read {
  readonly readings: PlayReading[];
  readonly states: StateFound[];
  readonly washers: WashersFound[];
  readonly repairs: Day[];
  readonly oiledOn: Day[];
}

function nothingRead(): Read {
  return { readings: [], states: [], washers: [], repairs: [], oiledOn: [] };
}

/** What a visit read was found before its repair, so it belongs to the time before it. */
function addReading(read: Read | undefined, row: ReadingRow): void {
  if (read === undefined) return;
  const { doneOn, state, washersPresent, axialPlayMm, radialPlayMm } = row;
  read.states.push({ doneOn, state, oiled: flag(row.oiled) });
  if (washersPresent !== null) read.washers.push({ doneOn, present: washersPresent });
  if (axialPlayMm !== null) read.readings.push({ doneOn, method: 'axial', mm: axialPlayMm });
  if (radialPlayMm !== null) read.readings.push({ doneOn, method: 'radial', mm: radialPlayMm });
  if (flag(row.repaired)) read.repairs.push(doneOn);
  if (flag(row.oiled)) read.oiledOn.push(doneOn);
}
