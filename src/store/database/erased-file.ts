import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import Database from 'better-sqlite3';
import { PRIVATE } from './whole-file.ts';

/** Lies beside a database that was restored: the owners whom the one before had erased. */
const nameOf = (file: string): string => `${file}.erase-again`;

/**
 * Keeps, beside a database that is about to be replaced by a backup, which owners it has erased. The
 * backup may be older than that, and nobody erases a person twice by heart. Names nobody: ids alone.
 */
export function rememberErased(file: string): void {
  const handle = new Database(file, { readonly: true, fileMustExist: true });
  try {
    const rows = handle.prepare('SELECT "id" FROM "owner" WHERE "erasedAt" IS NOT NULL').all() as {
      id: string;
    }[];
    const ids = new Set([...erasedBefore(file), ...rows.map(({ id }) => id)]);
    if (ids.size > 0) writeFileSync(nameOf(file), `${[...ids].join('\n')}\n`, { mode: PRIVATE });
  } finally {
    handle.close();
  }
}

/** The owners who are to be erased again in a database file. */
export function erasedBefore(file: string): string[] {
  if (!existsSync(nameOf(file))) return [];
  return readFileSync(nameOf(file), 'utf8')
    .split('\n')
    .filter((id) => id !== '');
}

/** All of them are erased again. */
export function forgetErased(file: string): void {
  rmSync(nameOf(file), { force: true });
}
