import type { CallRow } from './calls-rows.ts';
import type { Sql } from '../database/sql.ts';

/** The latest calls about a car, the newest first. */
export function latestCalls(
  sql: Sql,
  organisationId: string,
  carId: string,
  limit: number,
): Promise<Pick<CallRow, 'id' | 'calledOn' | 'outcome' | 'notes'>[]> {
  return sql.all(
    'SELECT "id", "calledOn", "outcome", "notes" FROM "call_entry" WHERE "organisationId" = ? AND "carId" = ? ORDER BY "calledOn" DESC, "recordedAt" DESC, "id" DESC LIMIT ?',
    [organisationId, carId, limit],
  );
}
