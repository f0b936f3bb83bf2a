import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';
import { first } from '../database/sql.ts';

/** The instant by the database's own clock: one for all processes, however theirs may go. */
export async function databaseClock(sql: Sql): Promise<Instant> {
  const text =
    sql.dialect === 'postgresql'
      ? `SELECT to_char(clock_timestamp() AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"') AS "at"`
      : `SELECT strftime('%Y-%m-%dT%H:%M:%fZ', 'now') AS "at"`;
  const row = await first<{ at: Instant }>(sql, text);
  if (row === null) throw new Error('the database told no time');
  return row.at;
}

/** One beat of the heart of a process that holds letters. */
export async function beat(sql: Sql, id: string, at: Instant): Promise<void> {
  await sql.run(
    'INSERT INTO "holder" ("id", "beatAt") VALUES (?, ?) ON CONFLICT ("id") DO UPDATE SET "beatAt" = excluded."beatAt"',
    [id, at],
  );
}

/** How many processes have beaten since an instant of the database's own clock. */
export async function heartsSince(sql: Sql, since: Instant): Promise<number> {
  const text = 'SELECT COUNT(*) AS "n" FROM "holder" WHERE "beatAt" > ?';
  return (await first<{ n: number }>(sql, text, [since]))?.n ?? 0;
}

/** Forgets a process that ended, and those whose heart stopped before `since`. */
export async function forgetHolders(sql: Sql, id: string, since: Instant): Promise<void> {
  await sql.run('DELETE FROM "holder" WHERE "id" = ? OR "beatAt" < ?', [id, since]);
}
