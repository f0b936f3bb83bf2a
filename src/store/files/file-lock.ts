import {
  chmodSync,
  closeSync,
  existsSync,
  lstatSync,
  openSync,
  readlinkSync,
  realpathSync,
  statSync,
} from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import Database from 'better-sqlite3';
import { PRIVATE } from './whole-file.ts';

/** Thrown when another process has the database file. */
export class FileInUse extends Error {}

const MOST_LINKS = 40;

/** The one path of a file, behind every symbolic link, whether the file is there already or not. */
export function onePath(file: string): string {
  let path = resolve(file);
  for (let link = 0; link < MOST_LINKS; link++) {
    if (existsSync(path)) return realpathSync(path);
    if (lstatSync(path, { throwIfNoEntry: false })?.isSymbolicLink() !== true) break;
    path = resolve(dirname(path), readlinkSync(path));
  }
  const folder = dirname(path);
  return existsSync(folder) ? join(realpathSync(folder), basename(path)) : path;
}

/**
 * Holds a database file for this process until the returned function is called or the process dies,
 * by whatever name it is opened: symbolic links lead to one lock, and a file with a second name of its
 * own (a hard link) is refused, since SQLite would keep two logs of one file and ruin it
 * (https://www.sqlite.org/howtocorrupt.html, "Multiple links to the same file"). The lock is an exclusive transaction on a small
 * file beside it: the operating system drops it with the process, so a crash never leaves a stale
 * lock behind.
 */
export function holdFile(named: string): () => void {
  if (named === ':memory:') return () => undefined;
  const file = onePath(named);
  if ((statSync(file, { throwIfNoEntry: false })?.nlink ?? 1) > 1) {
    throw new FileInUse(
      `${file} has a second name (a hard link), and two programs that open it by two names ruin it. Remove the other name, or copy the file with: npx foldkeep backup FILE`,
    );
  }
  makePrivate(`${file}.lock`);
  const lock = new Database(`${file}.lock`, { timeout: 0 });
  try {
    lock.pragma('journal_mode = DELETE');
    lock.exec('BEGIN EXCLUSIVE');
  } catch (fault) {
    lock.close();
    if ((fault as { code?: string }).code?.startsWith('SQLITE_BUSY')) {
      throw new FileInUse(
        `Another Foldkeep process is using ${file}. Stop it first, or ask the running server over HTTP; ` +
          'of the commands it takes over import, invite, key and round, and backup, backups, doctor and export only read. ' +
          'Several processes on one set of records need PostgreSQL (DATABASE_URL=postgresql://…).',
      );
    }
    throw fault;
  }
  return () => {
    if (lock.open) lock.close();
  };
}

/** A file for its owner's eyes alone, made so before anything is written to it. */
export function makePrivate(file: string): void {
  if (!existsSync(file)) closeSync(openSync(file, 'a', PRIVATE));
  else if ((statSync(file).mode & 0o077) !== 0) {
    try {
      chmodSync(file, PRIVATE);
    } catch (fault) {
      // Somebody else's file stays as its owner made it.
      if ((fault as NodeJS.ErrnoException).code !== 'EPERM') throw fault;
    }
  }
}
