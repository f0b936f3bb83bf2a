import fs, { readFileSync, statSync } from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import fc from 'fast-check';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { openStore } from '../../src/store/database/open-store.ts';
import { outageOf } from '../../src/store/database/outage.ts';
import type { Sql } from '../../src/store/database/sql.ts';
import type { Store } from '../../src/store/database/store.ts';
import { ownFolder } from '../records/lived-in.ts';
import { freshSqlite } from '../setup/fresh-sqlite.ts';
import { runs } from '../setup/runs.ts';

const KEYS = ['a', 'b', 'c', 'd'];

let folder: ReturnType<typeof ownFolder>;
let file: string;
let store: Store;
beforeEach(async () => {
  folder = ownFolder();
  const url = freshSqlite(folder.path('.'));
  file = url.replace(/^file:/, '');
  store = await openStore(url);
});
afterEach(async () => {
  await store.close();
  folder.remove();
});

/** Commits in the log of a file: frames that say how large the database is after them (the format's 4.1). */
function commitsOf(database: string): number {
  const log = readFileSync(`${database}-wal`);
  const step = 24 + log.readUInt32BE(8);
  let commits = 0;
  for (let at = 32; at < log.length; at += step) {
    const isOfThisLog = log.subarray(at + 8, at + 16).equals(log.subarray(16, 24));
    if (isOfThisLog && log.readUInt32BE(at + 4) > 0) commits++;
  }
  return commits;
}

const put = (sql: Sql, key: string, value = '') =>
  sql.run(
    'INSERT INTO "idempotent_answer" ("accessKeyId", "key", "requestHash", "createdAt") VALUES (?, ?, ?, ?)',
    ['k', key, value, ''],
  );
const rowsIn = (sql: Sql) =>
  sql.all<{ key: string; requestHash: string }>(
    'SELECT "key", "requestHash" FROM "idempotent_answer" ORDER BY "key"',
  );
const keptKeys = async () => (await rowsIn(store.sql)).map(({ key }) => key);

/** A turn of the thread: whoever waits for nothing else has gone on by then. */
const aTurn = () =>
  new Promise<void>((resolve) => {
    setImmediate(resolve);
  });

it('keeps in one commit what comes at once, and in several what is more than waits well', async () => {
  await store.writeSql((sql) => put(sql, 'first'));
  const before = commitsOf(file);
  const some = Array.from({ length: 40 }, (_, n) => store.writeSql((sql) => put(sql, `s${n}`)));
  await Promise.all(some);
  expect(commitsOf(file) - before).toBe(1);
  const many = Array.from({ length: 100 }, (_, n) => store.writeSql((sql) => put(sql, `m${n}`)));
  await Promise.all(many);
  expect(commitsOf(file) - before).toBe(3);
  expect(await keptKeys()).toHaveLength(141);
});

it('tells nobody before all are kept', async () => {
  let goOn = (): void => undefined;
  const gate = new Promise<void>((resolve) => {
    goOn = resolve;
  });
  let told = 'nothing';
  const first = store.writeSql((sql) => put(sql, 'a')).then(() => (told = 'kept'));
  const second = store.writeSql(async (sql) => {
    await put(sql, 'b');
    await gate;
  });
  try {
    for (let turn = 0; turn < 5; turn++) await aTurn();
    expect([told, await keptKeys()]).toEqual(['nothing', []]);
  } finally {
    goOn();
  }
  await Promise.all([first, second]);
  expect([told, await keptKeys()]).toEqual(['kept', ['a', 'b']]);
});

it('fails all who shared a commit that failed, and nobody after them', async () => {
  const shared = [
    store.writeSql((sql) => put(sql, 'a')),
    store.writeSql(async (sql) => {
      await sql.run(
        'CREATE TABLE "held_at_the_end" ("id" REFERENCES "owner" ("id") DEFERRABLE INITIALLY DEFERRED)',
      );
      await sql.run(`INSERT INTO "held_at_the_end" VALUES ('nobody')`);
    }),
    // Refused for what came to nothing: it is told the same.
    store.writeSql((sql) => put(sql, 'a')),
    store.write(({ sql }) => put(sql, 'b')),
  ];
  for (const { status, reason } of (await Promise.allSettled(shared)) as PromiseRejectedResult[]) {
    expect([status, String(reason)]).toEqual([
      'rejected',
      expect.stringContaining('FOREIGN KEY constraint failed'),
    ]);
  }
  expect(await keptKeys()).toEqual([]);
  await store.writeSql((sql) => put(sql, 'a'));
  expect(await keptKeys()).toEqual(['a']);
});

it('fails those before a deed with which the database gave up the transaction', async () => {
  await store.writeSql((sql) => put(sql, 'taken'));
  const came = await Promise.allSettled([
    store.writeSql((sql) => put(sql, 'a')),
    store.writeSql((sql) =>
      sql.run(
        `INSERT OR ROLLBACK INTO "idempotent_answer" ("accessKeyId", "key", "requestHash", "createdAt") VALUES ('k', 'taken', '', '')`,
      ),
    ),
    store.writeSql((sql) => put(sql, 'b')),
  ]);
  expect(came.map(({ status }) => status)).toEqual(['rejected', 'rejected', 'fulfilled']);
  expect(await keptKeys()).toEqual(['b', 'taken']);
});

/** Runs a test with another disk behind `fdatasync`. */
async function withDisk(
  disk: (file: number, done: fs.NoParamCallback) => void,
  test: () => Promise<void>,
): Promise<void> {
  const { fdatasync } = fs;
  fs.fdatasync = disk as typeof fdatasync;
  syncBuiltinESMExports();
  try {
    await test();
  } finally {
    fs.fdatasync = fdatasync;
    syncBuiltinESMExports();
  }
}

it('tells nobody before the disk has the log as it was after their commit', async () => {
  const { fdatasync } = fs;
  const asked: number[] = [];
  const waiting: (() => void)[] = [];
  const slow = (of: number, done: fs.NoParamCallback) => {
    asked.push(fs.fstatSync(of).ino);
    waiting.push(() => fdatasync(of, done));
  };
  await withDisk(slow, async () => {
    try {
      const told: string[] = [];
      const puts = (key: string) =>
        store.writeSql((sql) => put(sql, key)).then(() => told.push(key));
      const first = puts('a');
      for (let turn = 0; turn < 5; turn++) await aTurn();
      const { ino } = statSync(`${file}-wal`);
      expect([asked, told, await keptKeys()]).toEqual([[ino], [], ['a']]);
      // What the disk was asked before does not keep what was written since.
      const later = [puts('b'), puts('c')];
      for (let turn = 0; turn < 5; turn++) await aTurn();
      expect(asked).toHaveLength(1);
      waiting.shift()?.();
      await first;
      for (let turn = 0; turn < 5; turn++) await aTurn();
      expect([asked, told]).toEqual([[ino, ino], ['a']]);
      waiting.shift()?.();
      await Promise.all(later);
      expect(told.toSorted()).toEqual(['a', 'b', 'c']);
    } finally {
      for (const goOn of waiting) goOn();
    }
  });
});

it('promises nothing any more after a fault of the disk, until the file is opened anew', async () => {
  const broken = (_of: number, done: fs.NoParamCallback) =>
    done(Object.assign(new Error('EIO: i/o error, fdatasync'), { code: 'EIO' }));
  await withDisk(broken, async () => {
    await expect(store.writeSql((sql) => put(sql, 'a'))).rejects.toThrow('EIO');
  });
  const after = await store.writeSql((sql) => put(sql, 'b')).catch((fault: unknown) => fault);
  expect(outageOf(after)).toBe('unreachable');
  expect(await keptKeys()).not.toContain('b');
  await store.close();
  store = await openStore(`file:${file}`);
  await store.writeSql((sql) => put(sql, 'b'));
  expect(await keptKeys()).toContain('b');
});

it('copies the file with what was done before', async () => {
  const copy = join(folder.path('.'), 'copy.db');
  const done = store.writeSql((sql) => put(sql, 'a'));
  await store.backupTo(copy);
  await done;
  const handle = new Database(copy, { readonly: true });
  try {
    expect(handle.prepare('SELECT "key" FROM "idempotent_answer"').pluck().all()).toEqual(['a']);
  } finally {
    handle.close();
  }
});

interface Deed {
  readonly by: 'writeSql' | 'write' | 'together';
  readonly changes: readonly { readonly key: string; readonly value: string }[];
  readonly fails: boolean;
  /** Waits in the middle, as work does that gives others their turn. */
  readonly waits: boolean;
  /** Comes a turn of the thread after the one before. */
  readonly later: boolean;
}

const deeds = fc.array(
  fc.record({
    by: fc.constantFrom('writeSql', 'write', 'together'),
    changes: fc.array(
      fc.record({ key: fc.constantFrom(...KEYS), value: fc.string({ maxLength: 3 }) }),
      { maxLength: 4 },
    ),
    fails: fc.boolean(),
    waits: fc.boolean(),
    later: fc.boolean(),
  }),
  { maxLength: 12 },
);

/** What a deed does to the table, and what it saw there; the same on a map. */
async function change(sql: Sql, { changes, waits, fails }: Deed): Promise<string> {
  for (const { key, value } of changes) {
    await sql.run('DELETE FROM "idempotent_answer" WHERE "key" = ?', [key]);
    if (value !== '') await put(sql, key, value);
    if (waits) await aTurn();
  }
  const seen = JSON.stringify((await rowsIn(sql)).map((row) => [row.key, row.requestHash]));
  if (fails) throw new Error(seen);
  return seen;
}

function changeMap(before: ReadonlyMap<string, string>, { changes }: Deed): Map<string, string> {
  const after = new Map(before);
  for (const { key, value } of changes) {
    if (value === '') after.delete(key);
    else after.set(key, value);
  }
  return after;
}

const sorted = (map: ReadonlyMap<string, string>) =>
  [...map].toSorted(([a], [b]) => (a < b ? -1 : 1));

function does(deed: Deed): Promise<string> {
  switch (deed.by) {
    case 'writeSql':
      return store.writeSql((sql) => change(sql, deed));
    case 'write':
      return store.write(({ sql }) => change(sql, deed));
    case 'together':
      return store.together(() => store.writeSql((sql) => change(sql, deed)));
  }
}

it('leaves and answers what the same deeds one after the other would, whichever of them fail', async () => {
  await fc.assert(
    fc.asyncProperty(deeds, async (story) => {
      await store.writeSql((sql) => sql.run('DELETE FROM "idempotent_answer"'));
      const answers: Promise<string>[] = [];
      for (const deed of story) {
        if (deed.later) await aTurn();
        const answer = does(deed);
        answer.catch(() => undefined);
        answers.push(answer);
      }
      const came = (await Promise.allSettled(answers)).map((one) =>
        one.status === 'fulfilled' ? one.value : (one.reason as Error).message,
      );
      let kept = new Map<string, string>();
      const expected = story.map((deed) => {
        const after = changeMap(kept, deed);
        if (!deed.fails) kept = after;
        return JSON.stringify(sorted(after));
      });
      expect(came).toEqual(expected);
      const rows = await rowsIn(store.sql);
      expect(rows.map((row) => [row.key, row.requestHash])).toEqual(sorted(kept));
    }),
    { numRuns: runs(200) },
  );
});
