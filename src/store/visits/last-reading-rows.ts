import type { Day } from '../../domain/calendar/day.ts';
import type { Sql } from '../database/sql.ts';
import { flag } from '../database/sql.ts';

/** The latest row about one pivot, as the visit brought it in. */
export interface LastReading {
  readonly visitId: string;
  readonly doneOn: Day;
  readonly state: string;
  readonly oiled: boolean;
  readonly repaired: boolean;
  readonly lubricant: string | null;
  readonly washersPresent: number | null;
  readonly axialPlayMm: number | null;
  readonly radialPlayMm: number | null;
}

/** The latest reading up to a day at each pivot of a car, by the id of the pivot. */
export async function lastReadings(
  sql: Sql,
  carId: string,
  until: Day,
): Promise<Map<string, LastReading>> {
  const rows = await sql.all<Row>(
    `SELECT "pivotId", "visitId", "doneOn", "state", "oiled", "repaired", "lubricant", "washersPresent", "axialPlayMm", "radialPlayMm" FROM (
       SELECT r.*, ROW_NUMBER() OVER (PARTITION BY r."pivotId" ORDER BY r."doneOn" DESC, r."id" DESC) AS "nth"
       FROM "reading" r JOIN "pivot" p ON p."id" = r."pivotId" WHERE p."carId" = ? AND r."doneOn" <= ?) "latest"
     WHERE "nth" = 1`,
    [carId, until],
  );
  return new Map(
    rows.map(({ pivotId, ...row }) => [
      pivotId,
      Object.assign(row, { oiled: flag(row.oiled), repaired: flag(row.repaired) }),
    ]),
  );
}

type Row = Omit<LastReading, 'oiled' | 'repaired'> & {
  pivotId: string;
  oiled: unknown;
  repaired: unknown;
};
