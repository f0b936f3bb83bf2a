import { msOf, toInstant } from '../../domain/calendar/instant.ts';
import { DELIVERY_DEFAULTS } from '../../domain/letters/delivery-figures.ts';
import { beat, databaseClock, forgetHolders } from '../../store/letters/holder-rows.ts';
import type { Context } from '../context/context.ts';

/** So often a heart beats: three beats may be missed before a process counts as dead. */
export const BEAT_MS = (DELIVERY_DEFAULTS.stoppedSeconds * 1_000) / 4;
// Kept so long after the last beat, so that a letter it held can still be told from one of no holder.
const REMEMBERED_MS = 24 * 3_600_000;

/**
 * Says that this process lives, so that what it has in hand is left to it. On SQLite the lock of the
 * file says so already.
 */
export async function beatHeart({ store }: Context, holder: string): Promise<void> {
  if (store.dialect === 'sqlite') return;
  await store.writeSql(async (sql) => beat(sql, holder, await databaseClock(sql)));
}

/** Says that this process ends: whatever it still holds may be taken over at once. */
export async function stopHeart({ store }: Context, holder: string): Promise<void> {
  if (store.dialect === 'sqlite') return;
  await store.writeSql(async (sql) => {
    const since = toInstant(msOf(await databaseClock(sql)) - REMEMBERED_MS);
    await forgetHolders(sql, holder, since);
  });
}
