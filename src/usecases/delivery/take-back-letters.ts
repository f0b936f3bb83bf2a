import { addMinutes } from '../../domain/calendar/instant.ts';
import { DELIVERY_DEFAULTS } from '../../domain/letters/delivery-figures.ts';
import { reapLeases } from '../../store/letters/delivery-rows.ts';
import type { Context } from '../context/context.ts';
import { FATE_UNKNOWN } from './delivery-settlement.ts';

const EVERY_LEASE = '9999-12-31T23:59:59.999Z';

/**
 * Takes back the letters that a process which died had in its hands, without waiting for its leases:
 * those that were not begun may leave at once, those that may have gone out are sent once more after
 * a minute. Only for a start at which the lock of the database file proves that no other process
 * lives; on PostgreSQL another may, so there nothing is done and the leases run out. The count.
 */
export async function takeBackLetters(context: Context): Promise<number> {
  const { store } = context;
  if (store.dialect !== 'sqlite') return 0;
  return store.writeSql((sql) =>
    reapLeases(sql, EVERY_LEASE, {
      resendAt: addMinutes(context.now(), 1),
      resends: DELIVERY_DEFAULTS.resends,
      fault: FATE_UNKNOWN,
    }),
  );
}
