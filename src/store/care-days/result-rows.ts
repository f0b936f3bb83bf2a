import type { Finding, Reading, Visit } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG } from '../database/sql.ts';

/** What was read at one joint on one of some visits, with how many washers belong there. */
export type ResultReadingRow = Pick<Reading, 'visitId' | 'state' | 'washersPresent'> & {
  /** Read with `flag`. */
  readonly oiled: unknown;
  readonly washersExpected: number;
};

/** The joints that were read on these visits. */
export function readingsOfVisits(
  sql: Sql,
  visitIds: readonly Visit['id'][],
): Promise<ResultReadingRow[]> {
  return sql.all(
    `SELECT r."visitId", r."state", r."washersPresent", r."oiled", p."washersExpected" FROM "reading" r JOIN "pivot" p ON p."id" = r."pivotId" WHERE r."visitId" ${AMONG}`,
    [visitIds],
  );
}

/** The faults that were found on these visits. */
export function findingsOfVisits(
  sql: Sql,
  visitIds: readonly Visit['id'][],
): Promise<Pick<Finding, 'visitId' | 'text' | 'outcome'>[]> {
  return sql.all(
    `SELECT "visitId", "text", "outcome" FROM "finding" WHERE "visitId" ${AMONG} ORDER BY "id"`,
    [visitIds],
  );
}
