import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';

/**
 * Holds for a person every letter that was to leave before an instant, or was written then: it may have left
 * already. Those to come are left. The count.
 */
export function holdLetters(sql: Sql, at: Instant, why: string): Promise<number> {
  return sql.run(
    `UPDATE "letter" SET "state" = 'unknown', "startedAt" = COALESCE("startedAt", ?), "nextTryAt" = NULL, "leaseToken" = NULL, "leaseUntil" = NULL, "leaseHolder" = NULL, "fault" = ? WHERE "state" IN ('planned', 'sending', 'unknown') AND "nextTryAt" IS NOT NULL AND ("nextTryAt" <= ? OR "plannedAt" = ?)`,
    [at, why, at, at],
  );
}
