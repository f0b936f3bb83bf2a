import type { Sql } from '../database/sql.ts';
import { forUpdate, marks } from '../database/sql.ts';

/** Ends a statement that begins with `named`: the cars whose owners' cars are to be held. */
export const WITH_ALL_THEIRS = `, "whose" AS (SELECT DISTINCT "ownerId" AS "id" FROM "car" WHERE "id" IN (SELECT "id" FROM "named"))
  SELECT "id" FROM "car" WHERE "ownerId" IN (SELECT "id" FROM "whose")
    OR "id" IN (SELECT o."carId" FROM "letter" l JOIN "letter_occasion" o ON o."letterId" = l."id" WHERE l."ownerId" IN (SELECT "id" FROM "whose") AND l."state" IN ('planned', 'sending'))
  ORDER BY "id"`;

/**
 * Holds cars until the transaction ends, and with them all that a decision about them may touch: the
 * other cars of their owners, and those that an unsent letter to these owners speaks of. All in one
 * statement, in the order of their ids, which is the one order in which cars are locked anywhere:
 * two deeds that each held a part and wanted the other's would wait for ever. A deed that touches
 * cars calls it before it touches the first. SQLite has one writer and needs none of it.
 */
export async function holdCars(sql: Sql, carIds: readonly string[]): Promise<void> {
  if (sql.dialect === 'sqlite' || carIds.length === 0) return;
  await sql.all(
    `WITH "named" AS (SELECT "id" FROM "car" WHERE "id" IN (${marks(carIds.length)}))${WITH_ALL_THEIRS}${forUpdate(sql)}`,
    carIds,
  );
}
