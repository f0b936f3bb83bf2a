import Database from 'better-sqlite3';

/** Thrown when another process has the database file. */
export class FileInUse extends Error {}

/**
 * Holds a database file for this process until the returned function is called or the process dies.
 * The lock is an exclusive transaction on a small file beside it: the operating system drops it with
 * the process, so a crash never leaves a stale lock behind.
 */
export function holdFile(file: string): () => void {
  if (file === ':memory:') return () => undefined;
  const lock = new Database(`${file}.lock`, { timeout: 0 });
  try {
    lock.pragma('journal_mode = DELETE');
    lock.exec('BEGIN EXCLUSIVE');
  } catch (fault) {
    lock.close();
    if ((fault as { code?: string }).code?.startsWith('SQLITE_BUSY')) {
      throw new FileInUse(
        `Another Foldkeep process is using ${file}. Stop it first, or ask the running server over HTTP; ` +
          'several processes on one set of records need PostgreSQL (DATABASE_URL=postgresql://…).',
      );
    }
    throw fault;
  }
  return () => {
    if (lock.open) lock.close();
  };
}
