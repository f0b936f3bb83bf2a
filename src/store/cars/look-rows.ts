import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql, SqlValue } from '../database/sql.ts';
import { marks } from '../database/sql.ts';

/** Cars whose time to be looked at has come, the longest waiting first, with their owners. */
export function carsToLookAt(
  sql: Sql,
  at: Instant,
  limit: number,
  organisationId: string | null,
): Promise<{ id: string; ownerId: string }[]> {
  const own = organisationId === null ? '' : ' AND "organisationId" = ?';
  return sql.all(
    `SELECT "id", "ownerId" FROM "car" WHERE "lookAt" <= ?${own} ORDER BY "lookAt" LIMIT ?`,
    organisationId === null ? [at, limit] : [at, organisationId, limit],
  );
}

/**
 * Of these owners, every car whose time has come, and every car that an unsent letter is about:
 * cars of one owner are decided about together.
 */
export function dueCarsOf(
  sql: Sql,
  ownerIds: readonly string[],
  at: Instant,
): Promise<{ id: string; ownerId: string }[]> {
  return sql.all(
    `SELECT "id", "ownerId" FROM "car" WHERE "ownerId" IN (${marks(ownerIds.length)}) AND "lookAt" <= ?
     UNION SELECT c."id", c."ownerId" FROM "letter" l JOIN "letter_occasion" o ON o."letterId" = l."id" JOIN "car" c ON c."id" = o."carId"
     WHERE l."ownerId" IN (${marks(ownerIds.length)}) AND l."state" IN ('planned', 'sending')`,
    [...ownerIds, at, ...ownerIds],
  );
}

/** Stores for each car when to look at it next; null is never, until something is recorded. */
export async function storeLooks(
  sql: Sql,
  looks: readonly { id: string; lookAt: Instant | null }[],
): Promise<void> {
  for (let start = 0; start < looks.length; start += AT_ONCE) {
    const part = looks.slice(start, start + AT_ONCE);
    const values: SqlValue[] = part.flatMap(({ id, lookAt }) => [id, lookAt]);
    await sql.run(
      `WITH "v"("id", "look") AS (VALUES ${part.map(() => '(?, ?)').join(', ')}) UPDATE "car" SET "lookAt" = "v"."look" FROM "v" WHERE "car"."id" = "v"."id"`,
      values,
    );
  }
}

const AT_ONCE = 500;
