import type { Instant } from '../../domain/calendar/instant.ts';
import { forgetRestored, MAY_HAVE_LEFT, restoredAt } from '../../store/backups/restored-mark.ts';
import { sqliteFileOf } from '../../store/database/sqlite-store.ts';
import { holdLetters } from '../../store/letters/hold-rows.ts';
import type { Context } from '../context/context.ts';
import { planRound } from './plan-round.ts';

/**
 * Sees to it that records which came from a backup write no old letters again: what waited when the backup was
 * made, and what has been owed since, may have left long ago. It is written down and held; the day's page
 * names each, with one press to send it. Letters owed from now on leave as ever. The count of those held.
 */
export async function holdOldLetters(context: Context, at: Instant): Promise<number> {
  await planRound(context, { at, withLetters: false });
  return context.store.writeSql((sql) => holdLetters(sql, at, MAY_HAVE_LEFT));
}

/** The same at the first start over a SQLite file that `restore` put there. */
export async function holdRestored(context: Context, databaseUrl: string): Promise<number> {
  if (!databaseUrl.startsWith('file:')) return 0;
  const file = sqliteFileOf(databaseUrl);
  const at = restoredAt(file);
  if (at === null) return 0;
  const held = await holdOldLetters(context, at);
  forgetRestored(file);
  return held;
}
