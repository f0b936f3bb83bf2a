import { Refused } from '../../domain/refusal.ts';
import type { BackupFile } from '../../store/backups/backup-file.ts';
import { backUpSqlite } from '../../store/backups/backup-file.ts';
import { sqliteFileOf } from '../../store/database/sqlite-store.ts';

export type { BackupFile } from '../../store/backups/backup-file.ts';
export type { DatabaseContents } from '../../store/database/database-file.ts';

/**
 * Copies the whole database, keys and all, into one new file that has been read back and checked.
 * Works beside a running server. PostgreSQL has its own tools for this, which the refusal names.
 */
export async function backUp(databaseUrl: string, file: string): Promise<BackupFile> {
  return backUpSqlite(fileOnly(databaseUrl, `pg_dump --format=custom --file=${file}`), file);
}

/** The SQLite file of a DATABASE_URL; PostgreSQL is refused with the tool that does the same. */
export function fileOnly(databaseUrl: string, tool: string): string {
  if (databaseUrl.startsWith('file:')) return sqliteFileOf(databaseUrl);
  const detail =
    `DATABASE_URL names PostgreSQL, which is copied and restored by its own tools: ${tool} "$DATABASE_URL" ` +
    '(see their manual). To carry records from one database to another, use foldkeep export and import.';
  throw new Refused({ kind: 'conflict', detail });
}
