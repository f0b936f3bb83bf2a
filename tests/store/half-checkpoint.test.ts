import { copyFileSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openStore } from '../../src/store/database/open-store.ts';
import { pagesInLog } from '../../src/store/files/log-pages.ts';
import { ownFolder } from '../records/lived-in.ts';
import { freshSqlite } from '../setup/fresh-sqlite.ts';

const PAGE = 4096;
const HEAD = 32;
const FRAME_HEAD = 24;

let folder: ReturnType<typeof ownFolder>;
let file: string;
let pagesBefore: number;
let pagesAfter: number;

/** A database whose last commits are in the log alone, as a killed process leaves it. */
beforeEach(async () => {
  folder = ownFolder();
  const live = freshSqlite(folder.path('.')).replace(/^file:/, '');
  await (await openStore(`file:${live}`)).close();
  file = folder.path('killed.db');
  const handle = new Database(live);
  // Else the new table would begin in pages that migrations left free.
  handle.exec('VACUUM');
  handle.pragma('journal_mode = WAL');
  handle.pragma('wal_checkpoint(TRUNCATE)');
  handle.pragma('wal_autocheckpoint = 0');
  pagesBefore = handle.pragma('page_count', { simple: true }) as number;
  handle.exec('CREATE TABLE "grown" ("x")');
  const insert = handle.prepare('INSERT INTO "grown" VALUES (?)');
  for (let i = 0; i < 40; i++) insert.run('x'.repeat(3_000));
  pagesAfter = handle.pragma('page_count', { simple: true }) as number;
  copyFileSync(live, file);
  copyFileSync(`${live}-wal`, `${file}-wal`);
  handle.close();
});
afterEach(() => folder.remove());

/** Works the newest copies of some pages of the log into the file, as a checkpoint does, and no others. */
function workIn(pages: (page: number) => boolean): void {
  const log = readFileSync(`${file}-wal`);
  const bytes = Buffer.concat([
    readFileSync(file),
    Buffer.alloc((pagesAfter - pagesBefore) * PAGE),
  ]);
  let last = pagesBefore;
  for (let at = HEAD; at < log.length; at += FRAME_HEAD + PAGE) {
    const page = log.readUInt32BE(at);
    if (!pages(page)) continue;
    log.copy(bytes, (page - 1) * PAGE, at + FRAME_HEAD, at + FRAME_HEAD + PAGE);
    last = Math.max(last, page);
  }
  writeFileSync(file, bytes.subarray(0, last * PAGE));
}

async function grown(): Promise<number> {
  const store = await openStore(`file:${file}`);
  try {
    const [row] = await store.sql.all<{ n: number }>('SELECT COUNT(*) AS "n" FROM "grown"');
    return Number(row?.n);
  } finally {
    await store.close();
  }
}

describe('a file whose log was half worked into it', () => {
  it('is opened, and nothing of it is lost', async () => {
    expect(pagesAfter).toBeGreaterThan(pagesBefore + 30);
    workIn((page) => page === 1);
    expect(await grown()).toBe(40);
  });

  it('is opened wherever the work broke off', async () => {
    workIn((page) => page <= pagesBefore + 7);
    expect(await grown()).toBe(40);
  });

  it('is refused without that log: then something is missing indeed', async () => {
    workIn((page) => page === 1);
    rmSync(`${file}-wal`);
    await expect(grown()).rejects.toThrow('damaged or cut off');
  });

  it('is refused where it lost pages that are not in the log', async () => {
    workIn((page) => page === 1);
    truncateSync(file, (pagesBefore - 3) * PAGE);
    const bytes = readFileSync(file);
    expect(pagesInLog(`${file}-wal`).pages.has(pagesBefore - 1)).toBe(false);
    await expect(grown()).rejects.toThrow('damaged or cut off');
    expect(readFileSync(file).equals(bytes)).toBe(true);
  });

  it('counts only what was committed, as SQLite itself does', async () => {
    expect(pagesInLog(`${file}-wal`).size).toBe(pagesAfter);
    const log = readFileSync(`${file}-wal`);
    writeFileSync(`${file}-wal`, log.subarray(0, log.length - (FRAME_HEAD + PAGE)));
    const { size } = pagesInLog(`${file}-wal`);
    const copy = folder.path('copy.db');
    copyFileSync(file, copy);
    copyFileSync(`${file}-wal`, `${copy}-wal`);
    const handle = new Database(copy);
    expect(size).toBe(handle.pragma('page_count', { simple: true }));
    handle.close();
    expect(await grown()).toBe(39);
    expect(pagesInLog(folder.path('none-wal'))).toEqual({ pages: new Set(), size: null });
  });
});
