import { closeSync, existsSync, openSync, readSync, statSync } from 'node:fs';
import Database from 'better-sqlite3';
import { pagesInLog } from './log-pages.ts';

const BUSY_MS = 2_000;

/**
 * Throws what whoever reads the file afresh would meet: a file that is gone, no database, shorter than
 * it says of itself, or damaged where any table begins. It reads one page of each table and no more.
 */
export function probeFile(file: string): void {
  if (file === ':memory:') return;
  if (!existsSync(file)) throw cutOff();
  refuseCutOff(file);
  const handle = new Database(file, { readonly: true, fileMustExist: true, timeout: BUSY_MS });
  try {
    probeTables(handle);
  } finally {
    handle.close();
  }
}

/** The same of a connection that has read nothing yet: reads one page of each table and no more. */
export function probeTables(handle: Database.Database): void {
  const tables = handle
    .prepare(`SELECT "name" FROM sqlite_master WHERE "type" = 'table'`)
    .pluck()
    .all() as string[];
  for (const table of tables) handle.prepare(`SELECT 1 FROM "${table}" LIMIT 1`).get();
}

/**
 * Throws where a file is shorter than the pages that its head counts (the file format's own figures,
 * https://www.sqlite.org/fileformat2.html, 1.3.8: valid while both change counters agree), and the log
 * beside it does not hold what is missing: a process that dies while it works the log into the file
 * leaves a head that is ahead of the rest, and the next opening finishes that work.
 */
export function refuseCutOff(file: string): void {
  if (!existsSync(file) || statSync(file).size === 0) return;
  const head = Buffer.alloc(100);
  const handle = openSync(file, 'r');
  try {
    if (readSync(handle, head, 0, 100, 0) < 100) throw cutOff();
  } finally {
    closeSync(handle);
  }
  if (!head.toString('latin1').startsWith('SQLite format 3\0')) throw cutOff('SQLITE_NOTADB');
  const written = head.readUInt16BE(16);
  const pageBytes = written === 1 ? 65_536 : written;
  const there = Math.floor(statSync(file).size / pageBytes);
  const counted = head.readUInt32BE(24) === head.readUInt32BE(92) ? head.readUInt32BE(28) : 0;
  if (there >= counted) return;
  const log = pagesInLog(`${file}-wal`);
  for (let page = there + 1; page <= (log.size ?? counted); page++) {
    if (!log.pages.has(page)) throw cutOff();
  }
}

function cutOff(code = 'SQLITE_CORRUPT'): Error {
  return Object.assign(new Error('the file is shorter than it says, or no database'), { code });
}
