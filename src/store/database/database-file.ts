import { closeSync, existsSync, openSync, readSync, statSync } from 'node:fs';
import Database from 'better-sqlite3';
import type BetterSqlite3 from 'better-sqlite3';
import { Refused } from '../../domain/refusal.ts';
import type { MigrationState } from './migrate.ts';
import { migrationState } from './migrate.ts';
import { sqlOf } from './sqlite-store.ts';
import type { Sql } from './sql.ts';

/** What a database file holds, after it was found whole. */
export interface DatabaseContents extends MigrationState {
  readonly bytes: number;
  /** Rows of each table that people know by name. */
  readonly counts: Readonly<Record<CountedTable, number>>;
  /** Letters that have not left yet. */
  readonly waitingLetters: number;
}

export const COUNTED_TABLES = [
  'organisation',
  'owner',
  'car',
  'top',
  'visit',
  'reading',
  'position_entry',
  'letter',
] as const;
export type CountedTable = (typeof COUNTED_TABLES)[number];

const BUSY_MS = 10_000;

/**
 * Opens a SQLite file to read it only. It takes no lock that a running server would notice: in WAL
 * mode a reader sees the last commit before it began and never keeps a writer waiting.
 */
export function openToRead(file: string): BetterSqlite3.Database {
  if (!existsSync(file) || !statSync(file).isFile()) throw refused(`There is no file ${file}.`);
  if (!isSqliteFile(file)) throw refused(`${file} is not a database of Foldkeep.`);
  const handle = new Database(file, { readonly: true, fileMustExist: true, timeout: BUSY_MS });
  handle.pragma(`busy_timeout = ${BUSY_MS}`);
  return handle;
}

/** Whether a file begins as every SQLite 3 file does (the format's own header, 16 bytes). */
export function isSqliteFile(file: string): boolean {
  const handle = openSync(file, 'r');
  try {
    const start = Buffer.alloc(16);
    return readSync(handle, start, 0, 16, 0) === 16 && start.toString('latin1') === HEADER;
  } finally {
    closeSync(handle);
  }
}

const HEADER = 'SQLite format 3\0';

/**
 * Checks a file from the first page to the last and says what it holds. Refuses a damaged file, one
 * that is no Foldkeep database, and one that a newer program wrote.
 */
export async function readDatabase(file: string): Promise<DatabaseContents> {
  const handle = openToRead(file);
  try {
    return await mindingDamage(file, async () => {
      const problems = handle.pragma('integrity_check') as { integrity_check: string }[];
      if (problems[0]?.integrity_check !== 'ok') throw damaged(file);
      const sql = sqlOf(handle);
      await refuseStrangers(sql, file);
      if ((handle.pragma('foreign_key_check') as unknown[]).length > 0) throw damaged(file);
      return { ...(await migrationState(sql)), ...(await countsOf(sql)), bytes: bytesOf(file) };
    });
  } finally {
    handle.close();
  }
}

/** Refuses a SQLite file that some other program made. */
export async function refuseStrangers(sql: Sql, file: string): Promise<void> {
  const known = await sql.all(
    `SELECT 1 FROM sqlite_master WHERE "type" = 'table' AND "name" IN ('_prisma_migrations', 'organisation', 'car', 'letter')`,
  );
  if (known.length < 4) throw refused(`${file} is not a database of Foldkeep.`);
}

/** Turns SQLite's own complaints about a broken file into words that help. */
export async function mindingDamage<T>(file: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (fault) {
    const code = (fault as { code?: unknown }).code;
    if (typeof code === 'string' && /^SQLITE_(CORRUPT|NOTADB|IOERR)/.test(code)) {
      throw damaged(file);
    }
    throw fault;
  }
}

async function countsOf(sql: Sql): Promise<Pick<DatabaseContents, 'counts' | 'waitingLetters'>> {
  const counts: Partial<Record<CountedTable, number>> = {};
  for (const table of COUNTED_TABLES) counts[table] = await countIn(sql, `"${table}"`);
  const waiting = `"letter" WHERE "state" IN ('planned', 'sending')`;
  return {
    counts: counts as Record<CountedTable, number>,
    waitingLetters: await countIn(sql, waiting),
  };
}

async function countIn(sql: Sql, what: string): Promise<number> {
  return (await sql.all<{ n: number }>(`SELECT COUNT(*) AS "n" FROM ${what}`))[0]?.n ?? 0;
}

function bytesOf(file: string): number {
  return statSync(file).size;
}

function damaged(file: string): Refused {
  return refused(`${file} is damaged: what is in it cannot be trusted. Take another backup.`);
}

function refused(detail: string): Refused {
  return new Refused({ kind: 'conflict', detail });
}
