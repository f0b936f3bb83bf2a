import type { Instant } from '../../domain/calendar/instant.ts';
import { LOOK_NOW } from '../../domain/round/next-look.ts';
import type { Sql, SqlValue } from '../database/sql.ts';
import { AMONG, padded } from '../database/sql.ts';
import { noteHeld } from './round-held-rows.ts';

/** A car with whoever owns it. */
export interface CarToLookAt {
  readonly id: string;
  readonly ownerId: string;
}

/** Cars whose time to be looked at has come, the longest waiting first. */
export function carsToLookAt(
  sql: Sql,
  at: Instant,
  limit: number,
  organisationId: string | null,
): Promise<CarToLookAt[]> {
  const own = organisationId === null ? '' : ' AND "organisationId" = ?';
  return sql.all(
    `SELECT "id", "ownerId" FROM "car" WHERE "lookAt" <= ?${own} ORDER BY "lookAt" LIMIT ?`,
    [at, ...(organisationId === null ? [] : [organisationId]), limit],
  );
}

/**
 * Cars that were looked at later than now, by a clock that was ahead or for a later instant: what was
 * decided then holds nothing back. It walks through all cars, some thousand at a time of which none may be
 * such, so that whoever asks can give others their turn; and it is asked only where `heldLaterThan` says
 * that there may be any.
 */
export async function* carsLookedAtLater(
  sql: Sql,
  at: Instant,
  organisationId: string | null,
): AsyncGenerator<CarToLookAt[]> {
  const own = organisationId === null ? '' : ' AND "organisationId" = ?';
  const whose = organisationId === null ? [] : [organisationId];
  for (let after = ''; ;) {
    const stride = await sql.all<CarToLookAt & { lookedAt: Instant }>(
      `SELECT "id", "ownerId", "lookedAt" FROM "car" WHERE "id" > ?${own} ORDER BY "id" LIMIT ?`,
      [after, ...whose, CARS_A_STRIDE],
    );
    const last = stride.at(-1);
    if (last === undefined) return;
    yield stride.filter(({ lookedAt }) => lookedAt > at);
    after = last.id;
  }
}

// Some milliseconds of SQLite, which answers nobody else meanwhile.
const CARS_A_STRIDE = 4_000;

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
 * the instant of the round that says so, which is noted with it.
 */
export async function storeLooks(
  sql: Sql,
  looks: readonly { id: string; lookAt: Instant | null }[],
  lookedAt: Instant,
): Promise<void> {
  for (let start = 0; start < looks.length; start += AT_ONCE) {
    const part = padded(looks.slice(start, start + AT_ONCE));
    const values: SqlValue[] = part.flatMap(({ id, lookAt }) => [id, lookAt]);
    await sql.run(
      `WITH "v"("id", "look") AS (VALUES ${part.map(() => '(?, ?)').join(', ')}) UPDATE "car" SET "lookAt" = "v"."look", "lookedAt" = ? FROM "v" WHERE "car"."id" = "v"."id"`,
      [...values, lookedAt],
    );
  }
  if (looks.length > 0) await noteHeld(sql, lookedAt);
}

const LOOK_AGAIN = `UPDATE "car" SET "lookAt" = ? WHERE "id" ${AMONG}`;
const LOOK_AGAIN_IF_NOT_ASKED = `${LOOK_AGAIN} AND "lookAt" IS DISTINCT FROM ?`;

/**
 * Has the next round look at cars about which something was recorded. SQLite writes a row and its index
 * anew whatever it is set to, so cars that wait for the round already are left as they are there; on
 * PostgreSQL the statement holds every one of them.
 */
export async function lookAgain(sql: Sql, carIds: readonly string[]): Promise<void> {
  if (carIds.length === 0) return;
  await (sql.dialect === 'sqlite'
    ? sql.run(LOOK_AGAIN_IF_NOT_ASKED, [LOOK_NOW, carIds, LOOK_NOW])
    : sql.run(LOOK_AGAIN, [LOOK_NOW, carIds]));
}

const AT_ONCE = 500;
