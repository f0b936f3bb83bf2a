import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';

/** Notes that every letter of an organisation that waits has left: of days gone by, where nobody sends it. */
export async function lettersHaveLeft(
  sql: Sql,
  organisationId: string,
  at: Instant,
): Promise<void> {
  await sql.run(
    `UPDATE "letter" SET "state" = 'delivered', "attempts" = 1, "nextTryAt" = NULL, "firstTriedAt" = ?, "startedAt" = ?, "settledAt" = ? WHERE "organisationId" = ? AND "state" = 'planned'`,
    [at, at, at, organisationId],
  );
}
