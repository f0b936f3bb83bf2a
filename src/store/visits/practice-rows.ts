import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';

export interface FittedTopRow {
  topId: string;
  fittedOn: Day;
  retiredOn: Day | null;
  intervalMonths: number;
  createdAt: Instant;
}

/** Every top that an organisation has on record, the first fitted first. */
export function fittedTops(sql: Sql, organisationId: string): Promise<FittedTopRow[]> {
  return sql.all(
    'SELECT "id" AS "topId", "fittedOn", "retiredOn", "intervalMonths", "createdAt" FROM "top" WHERE "organisationId" = ? ORDER BY "fittedOn", "id"',
    [organisationId],
  );
}

export interface ReturnRow {
  topId: string;
  doneOn: Day;
  createdAt: Instant;
  notes: string | null;
}

/** The days on which owners came back, as they were recorded: visits done, those to settle a new top left out. */
export function returnsOfTops(sql: Sql, organisationId: string): Promise<ReturnRow[]> {
  return sql.all(
    `SELECT "topId", "doneOn", "createdAt", "notes" FROM "visit" WHERE "organisationId" = ? AND "state" = 'done' AND "kind" <> 'settling' AND "doneOn" IS NOT NULL ORDER BY "createdAt", "id"`,
    [organisationId],
  );
}
