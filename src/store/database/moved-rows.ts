import type { Instant } from '../../domain/calendar/instant.ts';
import { DatabaseUnusable } from './unusable.ts';
import type { Sql } from './sql.ts';
import { first } from './sql.ts';

/**
 * Where records went to, or are coming from while they are carried over. `other` names the other
 * database without user and password.
 */
export interface Moved {
  readonly way: 'to' | 'from';
  readonly other: string;
  readonly at: Instant;
}

export function movedOf(sql: Sql): Promise<Moved | null> {
  return first<Moved>(sql, 'SELECT "way", "other", "at" FROM "moved" ORDER BY "at" LIMIT 1');
}

export async function noteMoved(sql: Sql, { way, other, at }: Moved): Promise<void> {
  await sql.run(
    'INSERT INTO "moved" ("way", "other", "at") VALUES (?, ?, ?) ON CONFLICT ("way") DO UPDATE SET "other" = excluded."other", "at" = excluded."at"',
    [way, other, at],
  );
}

export async function forgetMoved(sql: Sql): Promise<void> {
  await sql.run('DELETE FROM "moved"');
}

/** Two servers with the same letters would send them twice, and half the records are none. */
export async function refuseMoved(sql: Sql): Promise<void> {
  const moved = await movedOf(sql);
  if (moved === null) return;
  throw new DatabaseUnusable(
    moved.way === 'to'
      ? `These records moved to ${moved.other} on ${moved.at.slice(0, 10)}: set DATABASE_URL to that. Here they would send the same letters once more.`
      : `Records are being moved into this database from ${moved.other}, and that has not ended. Run foldkeep move again; it goes on where it stopped.`,
  );
}
