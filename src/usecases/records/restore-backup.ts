import type { Instant } from '../../domain/calendar/instant.ts';
import type { Restored } from '../../store/backups/restore-file.ts';
import { restoreSqlite } from '../../store/backups/restore-file.ts';
import { fileOnly } from './back-up.ts';

export type { Restored } from '../../store/backups/restore-file.ts';

export interface RestoreWish {
  readonly file: string;
  readonly replace: boolean;
  readonly dryRun: boolean;
}

/**
 * Makes a backup the database that DATABASE_URL names. Refused while a server uses it, where records
 * are there already (unless they are to be replaced, after a safety copy beside them), and where the
 * backup is damaged, no Foldkeep database, or newer than this program. Nothing is half restored.
 */
export async function restoreBackup(
  databaseUrl: string,
  at: Instant,
  wish: RestoreWish,
): Promise<Restored> {
  const { file, replace, dryRun } = wish;
  const target = fileOnly(databaseUrl, `pg_restore --clean --if-exists ${file} --dbname`);
  // Colons may not stand in file names everywhere.
  const stamp = at.slice(0, 19).replaceAll(':', '-');
  return restoreSqlite({ backup: file, target, replace, dryRun, stamp, at });
}
