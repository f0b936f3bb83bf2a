import { WITH_ALL_THEIRS_AND_OF_MEANT } from './kept-triggers.ts';
import type { Sql } from './sql.ts';
import { AMONG, forUpdate } from './sql.ts';

/**
 * Holds cars until the transaction ends, and with them all that a decision about them may touch: the
 * other cars of their owners, and those that an unsent letter to these owners speaks of. All in one
 * statement, in the order of their ids, which is the one order in which cars are locked anywhere:
 * two deeds that each held a part and wanted the other's would wait for ever. A deed that touches several
 * cars, or changes a row of a car itself, calls it before it touches the first, and names the owners to
 * whom it brings a car: theirs are held as well. For whatever else speaks of one car the database does it
 * with the first such row (`kept-triggers.ts`). Whoever holds an owner too does so after the cars.
 * SQLite has one writer and needs none of it.
 */
export async function holdCars(
  sql: Sql,
  carIds: readonly string[],
  ownerIds: readonly string[] = [],
): Promise<void> {
  if (sql.dialect === 'sqlite' || carIds.length + ownerIds.length === 0) return;
  await sql.all(
    `WITH "named" AS (SELECT "id" FROM "car" WHERE "id" ${AMONG}), "meant" AS (SELECT "id" FROM "owner" WHERE "id" ${AMONG})${WITH_ALL_THEIRS_AND_OF_MEANT}${forUpdate(sql)}`,
    [carIds, ownerIds],
  );
}

/** The cars of some owners. */
export async function carIdsOf(sql: Sql, ownerIds: readonly string[]): Promise<string[]> {
  const rows = await sql.all<{ id: string }>(
    `SELECT "id" FROM "car" WHERE "ownerId" ${AMONG} ORDER BY "id"`,
    [ownerIds],
  );
  return rows.map(({ id }) => id);
}
