import { Refused } from '../../domain/refusal.ts';
import { DELIVERY_DEFAULTS } from '../../domain/letters/delivery-figures.ts';
import { addMinutes } from '../../domain/calendar/instant.ts';
import type { Store } from '../../store/database/store.ts';
import { databaseClock, heartsSince } from '../../store/letters/holder-rows.ts';

/**
 * Refuses what wants every server stopped while one serves a PostgreSQL database: its heart beat not long ago
 * by the database's clock. A SQLite file is held by its lock, which says so when it is opened.
 */
export async function refuseWhileServed({ dialect, sql }: Store): Promise<void> {
  if (dialect === 'sqlite') return;
  const seconds = DELIVERY_DEFAULTS.stoppedSeconds;
  const since = addMinutes(await databaseClock(sql), -seconds / 60);
  const hearts = await heartsSince(sql, since);
  if (hearts === 0) return;
  throw new Refused({
    kind: 'conflict',
    detail: `${hearts === 1 ? 'A server uses' : `${hearts} servers use`} this database. Stop ${hearts === 1 ? 'it' : 'them'} first; one that was killed counts for ${seconds} s more.`,
  });
}
