import { addMinutes } from '../../domain/calendar/instant.ts';
import { DELIVERY_DEFAULTS } from '../../domain/letters/delivery-figures.ts';
import { reap } from '../../store/letters/delivery-rows.ts';
import type { Context } from '../context/context.ts';
import { fateOfHeld } from './delivery-settlement.ts';

const EVERY_LEASE = '9999-12-31T23:59:59.999Z';

/**
 * Takes back the letters that a process which died had in its hands, without waiting for its leases:
 * those that were not begun may leave at once, those that may have gone out are sent once more after
 * a minute. Only for a start at which the lock of the database file proves that no other process
 * lives; on PostgreSQL another may, and a heart that stopped tells which does not. The count.
 */
export async function takeBackLetters(context: Context): Promise<number> {
  const { store } = context;
  if (store.dialect !== 'sqlite') return 0;
  return store.writeSql((sql) =>
    reap(
      sql,
      { leaseOver: EVERY_LEASE },
      fateOfHeld(addMinutes(context.now(), DELIVERY_DEFAULTS.deadMinutes), DELIVERY_DEFAULTS),
    ),
  );
}
