import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import Database from 'better-sqlite3';
import { PRIVATE, PRIVATE_FOLDER, syncToDisk } from '../files/whole-file.ts';

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
  return linesOf(nameOf(file));
}

function linesOf(file: string): string[] {
  return readFileSync(file, 'utf8')
    .split('\n')
    .map((id) => id.trim())
    .filter((id) => id !== '');
}

/**
 * The owners whom a database has erased, kept in a file of its own, away from the database: whatever is
 * restored over that, this still knows. Ids alone.
 */
export function erasedIn(file: string): string[] {
  return existsSync(file) ? linesOf(file) : [];
}

/** Adds owners to such a file; those that it knows stay. Gives how many it knows now. */
export function keepErased(file: string, ids: readonly string[]): number {
  const known = erasedIn(file);
  const all = [...new Set([...known, ...ids])];
  if (all.length === known.length) return all.length;
  mkdirSync(dirname(file), { recursive: true, mode: PRIVATE_FOLDER });
  const partial = `${file}.part-${process.pid}`;
  writeFileSync(partial, `${all.join('\n')}\n`, { mode: PRIVATE });
  syncToDisk(partial);
  renameSync(partial, file);
  syncToDisk(dirname(file));
  return all.length;
}

/** All of them are erased again. */
export function forgetErased(file: string): void {
  rmSync(nameOf(file), { force: true });
}
