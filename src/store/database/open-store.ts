import { openPostgresql } from './postgresql-store.ts';
import { openSqlite, sqliteFileOf } from './sqlite-store.ts';
import type { Store } from './store.ts';

/** Opens the database that DATABASE_URL names: `file:…` is SQLite, `postgresql://…` is PostgreSQL. */
export function openStore(databaseUrl: string): Promise<Store> {
  return databaseUrl.startsWith('file:')
    ? openSqlite(sqliteFileOf(databaseUrl))
    : openPostgresql(databaseUrl);
}
