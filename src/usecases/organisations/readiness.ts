import { answers } from '../../store/database/sql.ts';
import { lettersByState, oldestDue } from '../../store/letters/letter-lists.ts';
import type { Context } from '../context/context.ts';

/** "ok" where the database answers, else what it said, without addresses or passwords. */
export async function checkDatabase(context: Context): Promise<string> {
  try {
    return (await answers(context.store.sql)) ? 'ok' : 'gave no answer';
  } catch {
    return 'does not answer';
  }
}

/** How many letters stand in each state, and since when the oldest that is due has waited. */
export async function countLetters(
  context: Context,
): Promise<{ states: { state: string; n: number }[]; oldestDue: string | null }> {
  const { sql } = context.store;
  return {
    states: await lettersByState(sql),
    oldestDue: await oldestDue(sql, context.now()),
  };
}
