import type { Writing } from '../store/store.ts';
import type { Deed } from './deed.ts';

/** A deed whose every read and write happens in a transaction that is open already. */
export function deedInside(deed: Deed, tx: Writing): Deed {
  const store = {
    ...deed.store,
    records: tx.records,
    sql: tx.sql,
    write: <T>(work: (tx: Writing) => Promise<T>) => work(tx),
    writeSql: <T>(work: (sql: Writing['sql']) => Promise<T>) => work(tx.sql),
  };
  return { ...deed, store };
}
