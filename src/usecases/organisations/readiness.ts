import { first } from '../../store/database/sql.ts';
import type { Context } from '../context/context.ts';

/** "ok" where the database answers, else what it said, without addresses or passwords. */
export async function checkDatabase(context: Context): Promise<string> {
  try {
    const row = await first<{ one: number }>(context.store.sql, 'SELECT 1 AS "one"');
    return row?.one === 1 ? 'ok' : 'gave no answer';
  } catch {
    return 'does not answer';
  }
}

/** How many letters stand in each state, and since when the oldest that is due has waited. */
export async function countLetters(
  context: Context,
): Promise<{ states: { state: string; n: number }[]; oldestDue: string | null }> {
  const states = await context.store.sql.all<{ state: string; n: number }>(
    'SELECT "state", COUNT(*) AS "n" FROM "letter" GROUP BY "state"',
  );
  const oldest = await first<{ oldest: string | null }>(
    context.store.sql,
    `SELECT MIN("nextTryAt") AS "oldest" FROM "letter" WHERE "state" IN ('planned', 'unknown') AND "nextTryAt" <= ?`,
    [context.now()],
  );
  return { states, oldestDue: oldest?.oldest ?? null };
}
