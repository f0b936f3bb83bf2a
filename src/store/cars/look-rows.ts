import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql, SqlValue } from '../database/sql.ts';
import { AMONG, first, padded } from '../database/sql.ts';

/**
 * Cars whose time to be looked at has come, the longest waiting first, with their owners; after them
 * those that were looked at later than now, by a clock that was ahead or for a later instant: what was
 * decided then holds nothing back.
 */
export async function carsToLookAt(
  sql: Sql,
  at: Instant,
  limit: number,
  organisationId: string | null,
): Promise<{ id: string; ownerId: string }[]> {
  const own = organisationId === null ? '' : ' AND "organisationId" = ?';
  const values = organisationId === null ? [at] : [at, organisationId];
  const due = await sql.all<{ id: string; ownerId: string }>(
    `SELECT "id", "ownerId" FROM "car" WHERE "lookAt" <= ?${own} ORDER BY "lookAt" LIMIT ?`,
    [...values, limit],
  );
  if (due.length >= limit) return due;
  const ahead = await sql.all<{ id: string; ownerId: string }>(
    `SELECT "id", "ownerId" FROM "car" WHERE "lookedAt" > ?${own} ORDER BY "lookedAt" LIMIT ?`,
    [...values, limit - due.length],
  );
  return [...due, ...ahead];
}

/** The latest instant at which any round looked at a car; null where none has. */
export async function latestLook(sql: Sql): Promise<Instant | null> {
  const row = await first<{ latest: Instant | null }>(
    sql,
    'SELECT MAX("lookedAt") AS "latest" FROM "car"',
  );
  return row?.latest ?? null;
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
    `SELECT "id", "ownerId" FROM "car" WHERE "ownerId" ${AMONG} AND ("lookAt" <= ? OR "lookedAt" > ?)
     UNION SELECT c."id", c."ownerId" FROM "letter" l JOIN "letter_occasion" o ON o."letterId" = l."id" JOIN "car" c ON c."id" = o."carId"
     WHERE l."ownerId" ${AMONG} AND l."state" IN ('planned', 'sending')`,
    [ownerIds, at, at, ownerIds],
  );
}

/**
 * Stores for each car when to look at it next; null is never, until something is recorded. `lookedAt` is
 * the instant of the round that says so; left out where something was recorded instead.
 */
export async function storeLooks(
  sql: Sql,
  looks: readonly { id: string; lookAt: Instant | null }[],
  lookedAt?: Instant,
): Promise<void> {
  const held = lookedAt === undefined ? '' : ', "lookedAt" = ?';
  // A car that is recorded about again before the next round is on its list already: its row can rest.
  const only = lookedAt === undefined ? ' AND "car"."lookAt" IS DISTINCT FROM "v"."look"' : '';
  for (let start = 0; start < looks.length; start += AT_ONCE) {
    const part = padded(looks.slice(start, start + AT_ONCE));
    const values: SqlValue[] = part.flatMap(({ id, lookAt }) => [id, lookAt]);
    await sql.run(
      `WITH "v"("id", "look") AS (VALUES ${part.map(() => '(?, ?)').join(', ')}) UPDATE "car" SET "lookAt" = "v"."look"${held} FROM "v" WHERE "car"."id" = "v"."id"${only}`,
      lookedAt === undefined ? values : [...values, lookedAt],
    );
  }
}

const AT_ONCE = 500;
