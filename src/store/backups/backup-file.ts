import { chmodSync } from 'node:fs';
import type { DatabaseContents } from '../database/database-file.ts';
import { mindingDamage, openToRead, readDatabase } from '../database/database-file.ts';
import { makeWholeFile, PRIVATE, sha256Of } from '../files/whole-file.ts';

export interface BackupFile extends DatabaseContents {
  readonly sha256: string;
}

/**
 * Copies a SQLite database into one new file, whole or not at all, and reads the copy back from the
 * first page to the last before it gets its name.
 *
 * It does not ask for the lock that a running server holds, and is safe beside one: `VACUUM INTO`
 * reads inside a single transaction, in WAL mode such a reader sees one moment between two commits,
 * and the connection is read-only, so it can neither change the records nor hold a writer up.
 */
export async function backUpSqlite(source: string, file: string): Promise<BackupFile> {
  const handle = openToRead(source);
  try {
    return await makeWholeFile(file, async (partial) => {
      await mindingDamage(source, async () => {
        handle.prepare('VACUUM INTO ?').run(partial);
      });
      chmodSync(partial, PRIVATE);
      return { ...(await readDatabase(partial)), sha256: await sha256Of(partial) };
    });
  } finally {
    handle.close();
  }
}
