import { WITH_ALL_THEIRS } from '../database/kept-triggers.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, forUpdate } from '../database/sql.ts';

/**
 * Holds cars until the transaction ends, and with them all that a decision about them may touch: the
 * other cars of their owners, and those that an unsent letter to these owners speaks of. All in one
 * statement, in the order of their ids, which is the one order in which cars are locked anywhere:
 * two deeds that each held a part and wanted the other's would wait for ever. A deed that touches several
 * cars calls it before it touches the first; for one car the database does it with the first row that
 * speaks of it (`kept-triggers.ts`). SQLite has one writer and needs none of it.
 */
export async function holdCars(sql: Sql, carIds: readonly string[]): Promise<void> {
  if (sql.dialect === 'sqlite' || carIds.length === 0) return;
  await sql.all(
    `WITH "named" AS (SELECT "id" FROM "car" WHERE "id" ${AMONG})${WITH_ALL_THEIRS}${forUpdate(sql)}`,
    [carIds],
  );
}
