import type { Day } from '../../domain/calendar/day.ts';
import type { Sql } from '../database/sql.ts';

export interface FittedTopRow {
  topId: string;
  fittedOn: Day;
  retiredOn: Day | null;
  intervalMonths: number;
}

/** Every top that an organisation has on record, the first fitted first. */
export function fittedTops(sql: Sql, organisationId: string): Promise<FittedTopRow[]> {
  return sql.all(
    'SELECT "id" AS "topId", "fittedOn", "retiredOn", "intervalMonths" FROM "top" WHERE "organisationId" = ? ORDER BY "fittedOn", "id"',
    [organisationId],
  );
}

/** The days on which owners came back: visits done, those to settle a new top left out. */
export function returnsOfTops(
  sql: Sql,
  organisationId: string,
): Promise<{ topId: string; doneOn: Day }[]> {
  return sql.all(
    `SELECT "topId", "doneOn" FROM "visit" WHERE "organisationId" = ? AND "state" = 'done' AND "kind" <> 'settling' AND "doneOn" IS NOT NULL`,
    [organisationId],
  );
}
