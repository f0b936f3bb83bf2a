import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';
import { first } from '../database/sql.ts';

/** What a person says of a letter of which nobody knew whether it arrived. */
export interface ToldFate {
  readonly state: 'unknown' | 'delivered' | 'failed';
  readonly nextTryAt: Instant | null;
  readonly settledAt: Instant | null;
  readonly fault: string | null;
}

/** False where the letter is not the organisation's, or waits for nobody's word. */
export async function tellFate(
  sql: Sql,
  organisationId: string,
  id: string,
  { state, nextTryAt, settledAt, fault }: ToldFate,
): Promise<boolean> {
  const changed = await sql.run(
    `UPDATE "letter" SET "state" = ?, "nextTryAt" = ?, "settledAt" = ?, "fault" = ? WHERE "id" = ? AND "organisationId" = ? AND "state" = 'unknown' AND "nextTryAt" IS NULL`,
    [state, nextTryAt, settledAt, fault, id, organisationId],
  );
  return changed > 0;
}

/** Whether an organisation has such a letter. */
export async function hasLetter(sql: Sql, organisationId: string, id: string): Promise<boolean> {
  const text = 'SELECT "id" FROM "letter" WHERE "id" = ? AND "organisationId" = ?';
  return (await first(sql, text, [id, organisationId])) !== null;
}
