import {
  chmodSync,
  linkSync,
  mkdtempSync,
  readdirSync,
  rmSync,
  statSync,
  symlinkSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, describe, expect, it } from 'vitest';
import { FileInUse } from '../../src/store/files/file-lock.ts';
import { MigrationRefused } from '../../src/store/database/migrate.ts';
import { openStore } from '../../src/store/database/open-store.ts';
import { insertRows } from '../../src/store/database/sql.ts';
import type { Store } from '../../src/store/database/store.ts';
import { eachDatabase } from '../setup/databases.ts';

const organisation = (id: string) => ({
  id,
  name: id,
  kind: 'shop',
  timeZone: 'Europe/London',
  language: 'en',
  createdAt: '2026-01-01T00:00:00.000Z',
});
const names = async (store: Store) =>
  (await store.sql.all<{ name: string }>('SELECT "name" FROM "organisation" ORDER BY "name"')).map(
    ({ name }) => name,
  );

eachDatabase('the store', (databases) => {
  let store: Store;
  afterEach(() => store.close());

  it('writes records and SQL in one transaction, and neither when it fails', async () => {
    store = await openStore(await databases.fresh());
    await store.write(async ({ records, sql }) => {
      await records.organisation.create({ data: organisation('a') });
      await insertRows(sql, 'organisation', [organisation('b')]);
    });
    const failing = store.write(async ({ records, sql }) => {
      await records.organisation.create({ data: organisation('c') });
      await insertRows(sql, 'organisation', [organisation('d')]);
      throw new Error('no');
    });
    await expect(failing).rejects.toThrow('no');
    const failingSql = store.writeSql(async (sql) => {
      await insertRows(sql, 'organisation', [organisation('e')]);
      throw new Error('no');
    });
    await expect(failingSql).rejects.toThrow('no');
    expect(await names(store)).toEqual(['a', 'b']);
  });

  it('never shows a reader what is not committed yet', async () => {
    store = await openStore(await databases.fresh());
    let seen: string[] = ['nothing read'];
    await store.write(async ({ records }) => {
      await records.organisation.create({ data: organisation('a') });
      seen = await names(store);
      expect(await store.records.organisation.count()).toBe(0);
    });
    expect(seen).toEqual([]);
    expect(await names(store)).toEqual(['a']);
  });

  it('keeps many writers apart', async () => {
    store = await openStore(await databases.fresh());
    await store.writeSql((sql) => insertRows(sql, 'organisation', [organisation('a')]));
    const raise = async () =>
      store.writeSql(async (sql) => {
        await sql.run('UPDATE "organisation" SET "version" = "version" + 1 WHERE "id" = ?', ['a']);
      });
    const raiseRecord = async () =>
      store.write(async ({ records }) => {
        await records.organisation.update({
          where: { id: 'a' },
          data: { version: { increment: 1 } },
        });
      });
    await Promise.all(
      Array.from({ length: 40 }, (_, i) => (i % 2 === 0 ? raise() : raiseRecord())),
    );
    const [row] = await store.sql.all<{ version: number }>('SELECT "version" FROM "organisation"');
    expect(row?.version).toBe(41);
  });

  it('stores days, instants, booleans, nulls and any letters as they are', async () => {
    store = await openStore(await databases.fresh());
    const row = { ...organisation('ä "quoted" ? €\u{1F697}'), nightAlarms: true, phone: null };
    await store.writeSql((sql) => insertRows(sql, 'organisation', [row]));
    const record = await store.records.organisation.findUnique({ where: { id: row.id } });
    expect(record).toMatchObject(row);
  });

  it('sorts instants and days by time, byte by byte', async () => {
    store = await openStore(await databases.fresh());
    const days = ['2026-10-01', '2026-09-30', '2024-02-29', '2026-09-03'];
    await store.writeSql((sql) =>
      insertRows(
        sql,
        'organisation',
        days.map((day) => ({ ...organisation(day), createdAt: day })),
      ),
    );
    const rows = await store.sql.all<{ createdAt: string }>(
      'SELECT "createdAt" FROM "organisation" ORDER BY "createdAt"',
    );
    expect(rows.map((row) => row.createdAt)).toEqual([...days].sort((a, b) => (a < b ? -1 : 1)));
  });

  it('opens again without migrating twice, and refuses what it cannot trust', async () => {
    const url = await databases.fresh();
    store = await openStore(url);
    const applied = await store.sql.all<{ migration_name: string }>(
      'SELECT "migration_name" FROM "_prisma_migrations" ORDER BY "migration_name"',
    );
    await store.close();
    store = await openStore(url);
    expect(
      await store.sql.all(
        'SELECT "migration_name" FROM "_prisma_migrations" ORDER BY "migration_name"',
      ),
    ).toEqual(applied);
    await store.writeSql((sql) =>
      sql.run('UPDATE "_prisma_migrations" SET "checksum" = ? WHERE "migration_name" = ?', [
        'changed',
        '0001_records',
      ]),
    );
    await store.close();
    await expect(openStore(url)).rejects.toThrow(MigrationRefused);
    await expect(openStore(url)).rejects.toThrow(/another text/);
  });

  it('refuses a database that a newer program wrote', async () => {
    const url = await databases.fresh();
    store = await openStore(url);
    await store.writeSql((sql) =>
      insertRows(sql, '_prisma_migrations', [
        {
          id: 'x',
          checksum: 'x',
          migration_name: '9999_from_the_future',
          finished_at: '2030-01-01',
        },
      ]),
    );
    await store.close();
    await expect(openStore(url)).rejects.toThrow(/newer Foldkeep/);
  });
});

describe('a SQLite file', () => {
  it('belongs to one process: a second is refused in words, and let in after the first has gone', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'foldkeep-lock-'));
    const url = `file:${join(folder, 'records.db')}`;
    const first = await openStore(url);
    await expect(openStore(url)).rejects.toThrow(FileInUse);
    await expect(openStore(url)).rejects.toThrow(/Stop it first/);
    await first.close();
    const second = await openStore(url);
    await second.close();
    rmSync(folder, { recursive: true });
  });

  it('belongs to one process by whatever name it is opened', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'foldkeep-lock-'));
    const [file, other, elsewhere] = ['records.db', 'other.db', 'elsewhere'].map((name) =>
      join(folder, name),
    ) as [string, string, string];
    symlinkSync(file, other);
    symlinkSync(folder, elsewhere);
    // A link that leads to no file yet is followed too.
    const first = await openStore(`file:${other}`);
    expect(statSync(file).isFile()).toBe(true);
    for (const name of [file, other, join(elsewhere, 'records.db'), join(elsewhere, 'other.db')]) {
      await expect(openStore(`file:${name}`)).rejects.toThrow(/Stop it first/);
    }
    const hard = join(folder, 'hard.db');
    linkSync(file, hard);
    await expect(openStore(`file:${hard}`)).rejects.toThrow(FileInUse);
    await first.close();
    await expect(openStore(`file:${file}`)).rejects.toThrow(/second name/);
    rmSync(hard);
    await (await openStore(`file:${join(elsewhere, 'other.db')}`)).close();
    rmSync(folder, { recursive: true });
  });

  it('and all beside it are for its owner alone, also what was made otherwise before', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'foldkeep-mode-'));
    const before = process.umask(0);
    try {
      const file = join(folder, 'new', 'records.db');
      const modes = (of: string) =>
        readdirSync(of).map((name) => [name, statSync(join(of, name)).mode & 0o777] as const);
      const first = await openStore(`file:${file}`);
      expect(statSync(join(folder, 'new')).mode & 0o777).toBe(0o700);
      expect(modes(join(folder, 'new')).filter(([, mode]) => mode !== 0o600)).toEqual([]);
      await first.close();
      for (const [name] of modes(join(folder, 'new'))) chmodSync(join(folder, 'new', name), 0o644);
      const second = await openStore(`file:${file}`);
      expect(modes(join(folder, 'new')).length).toBeGreaterThan(3);
      expect(modes(join(folder, 'new')).filter(([, mode]) => mode !== 0o600)).toEqual([]);
      await second.close();
    } finally {
      process.umask(before);
      rmSync(folder, { recursive: true });
    }
  });

  it('is durable as the settings promise, and can be copied while in use', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'foldkeep-pragma-'));
    const store = await openStore(`file:${join(folder, 'records.db')}`);
    const pragma = async (name: string) =>
      Object.values((await store.sql.all<object>(`PRAGMA ${name}`))[0] ?? {})[0];
    expect(await pragma('journal_mode')).toBe('wal');
    // 1 is NORMAL: the sync that FULL adds is asked for by the store (`shared-commits.test.ts`).
    const [ofWriter] = await store.writeSql((sql) => sql.all<object>('PRAGMA synchronous'));
    expect(Object.values(ofWriter ?? {})).toEqual([1]);
    expect(await pragma('foreign_keys')).toBe(1);
    expect(await pragma('busy_timeout')).toBe(10_000);
    await store.writeSql((sql) => insertRows(sql, 'organisation', [organisation('a')]));
    await expect(
      store.sql.run('DELETE FROM "organisation"'),
      'the reading connection must not write',
    ).rejects.toThrow(/readonly/);
    await store.backupTo(join(folder, 'copy.db'));
    const copy = new Database(join(folder, 'copy.db'), { readonly: true });
    expect(copy.prepare('SELECT "name" FROM "organisation"').all()).toEqual([{ name: 'a' }]);
    expect(copy.pragma('integrity_check')).toEqual([{ integrity_check: 'ok' }]);
    copy.close();
    await store.close();
    rmSync(folder, { recursive: true });
  });
});
