import { answers } from '../../store/database/sql.ts';
import { addMinutes } from '../../domain/calendar/instant.ts';
import { latestLook } from '../../store/cars/look-rows.ts';
import { countSetAside } from '../../store/letters/round-fault-rows.ts';
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

/**
 * "ok", or by how much the clock is behind what rounds wrote down: either it is wrong now, or it was
 * ahead then. Rounds decide by what it says now, and write anew what was decided too early.
 */
export async function checkClock(context: Context): Promise<string> {
  const latest = await latestLook(context.store.sql).catch(() => null);
  const now = context.now();
  if (latest === null || latest <= addMinutes(now, CLOCK_MINUTES)) return 'ok';
  return `it is ${now} by the clock, but a round was held at ${latest}`;
}

// Machines that share a database differ by less.
const CLOCK_MINUTES = 5;

/** How many letters stand in each state, and since when the oldest that is due has waited. */
export async function countLetters(
  context: Context,
): Promise<{ states: { state: string; n: number }[]; oldestDue: string | null; setAside: number }> {
  const { sql } = context.store;
  return {
    states: await lettersByState(sql),
    oldestDue: await oldestDue(sql, context.now()),
    setAside: await countSetAside(sql),
  };
}
