import { onePath } from '../files/file-lock.ts';
import { refuseMoved } from './moved-rows.ts';
import { openSqlite, sqliteFileOf } from './sqlite-store.ts';
import type { Store } from './store.ts';
import { unusable } from './unusable.ts';

// Drivers take a good part of the start: the one that is not used stays out of it.
const openPostgresql = async (url: string): Promise<Store> =>
  (await import('./postgresql-store.ts')).openPostgresql(url);

/** Opens the database that DATABASE_URL names: `file:…` is SQLite, `postgresql://…` is PostgreSQL. Throws `DatabaseUnusable` with words. */
export async function openStore(databaseUrl: string): Promise<Store> {
  const store = await openToMove(databaseUrl);
  try {
    await refuseMoved(store.sql);
    return store;
  } catch (fault) {
    await store.close();
    throw fault;
  }
}

/** The same for a database whose records moved, or are moving. */
export async function openToMove(databaseUrl: string): Promise<Store> {
  try {
    return await (databaseUrl.startsWith('file:')
      ? openSqlite(sqliteFileOf(databaseUrl))
      : openPostgresql(databaseUrl));
  } catch (fault) {
    throw unusable(databaseUrl, fault);
  }
}

/** Where the server that holds a SQLite file takes commands: a socket beside it. Null for any other database. */
export function commandSocketOf(databaseUrl: string): string | null {
  if (!databaseUrl.startsWith('file:')) return null;
  const file = sqliteFileOf(databaseUrl);
  return file === ':memory:' ? null : `${onePath(file)}.commands`;
}
