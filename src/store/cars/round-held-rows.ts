import { randomUUID } from 'node:crypto';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, first, forUpdateOfFree } from '../database/sql.ts';

/**
 * Notes, in the transaction that looks at cars, at which instant it does. Of what is noted only the latest
 * is needed, so what is earlier goes. Transactions that run side by side each have a note of their own:
 * none waits for another.
 */
export async function noteHeld(sql: Sql, at: Instant): Promise<void> {
  await sql.run('INSERT INTO "round_held" ("id", "at") VALUES (?, ?)', [randomUUID(), at]);
  await sql.run(
    `DELETE FROM "round_held" WHERE "id" IN (SELECT "id" FROM "round_held" WHERE "at" < ?${forUpdateOfFree(sql)})`,
    [at],
  );
}

/** The latest instant at which any round looked at a car; null where none has. */
export async function latestLook(sql: Sql): Promise<Instant | null> {
  const row = await first<{ latest: Instant | null }>(
    sql,
    'SELECT MAX("at") AS "latest" FROM "round_held"',
  );
  return row?.latest ?? null;
}

/**
 * Notes of rounds that were held later than this instant: by a clock that was ahead, or for a later one.
 * Where there are none, no car was looked at later.
 */
export async function heldLaterThan(sql: Sql, at: Instant): Promise<string[]> {
  const rows = await sql.all<{ id: string }>('SELECT "id" FROM "round_held" WHERE "at" > ?', [at]);
  return rows.map(({ id }) => id);
}

/** Forgets such notes, once every car that they may be about was looked at again at `at`. */
export async function forgetHeld(sql: Sql, ids: readonly string[], at: Instant): Promise<void> {
  await noteHeld(sql, at);
  await sql.run(`DELETE FROM "round_held" WHERE "id" ${AMONG}`, [ids]);
}
