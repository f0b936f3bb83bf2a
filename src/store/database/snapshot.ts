import { Refused } from '../../domain/refusal.ts';
import { openToRead, refuseStrangers } from './database-file.ts';
import { migrationState } from './migrate.ts';
import { openStore } from './open-store.ts';
import { sqliteFileOf, sqlOf } from './sqlite-store.ts';
import type { Sql } from './sql.ts';

/**
 * Reads a database as it is at one moment, however long the reading takes and whoever writes
 * meanwhile: one read transaction, on SQLite through a read-only connection that needs no lock, on
 * PostgreSQL at the isolation level that fixes the snapshot. A SQLite file that an older program
 * wrote is refused, since reading must not migrate it.
 */
export async function readSnapshot<T>(
  databaseUrl: string,
  work: (sql: Sql) => Promise<T>,
): Promise<T> {
  if (databaseUrl.startsWith('file:')) return readSqlite(sqliteFileOf(databaseUrl), work);
  const store = await openStore(databaseUrl);
  try {
    return await store.writeSql(async (sql) => {
      await sql.run('SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY');
      return work(sql);
    });
  } finally {
    await store.close();
  }
}

async function readSqlite<T>(file: string, work: (sql: Sql) => Promise<T>): Promise<T> {
  const handle = openToRead(file);
  try {
    handle.exec('BEGIN');
    const sql = sqlOf(handle);
    await refuseStrangers(sql, file);
    const { pending } = await migrationState(sql);
    if (pending.length > 0) {
      const detail = `${file} was written by an older Foldkeep. Start this one once, which brings it up to date.`;
      throw new Refused({ kind: 'conflict', detail });
    }
    return await work(sql);
  } finally {
    handle.close();
  }
}
