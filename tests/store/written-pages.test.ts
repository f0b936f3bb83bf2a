import { existsSync, mkdtempSync, readdirSync, readlinkSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { LOOK_NOW } from '../../src/domain/round/next-look.ts';
import { storeLooks } from '../../src/store/cars/look-rows.ts';
import { latestLook } from '../../src/store/cars/round-held-rows.ts';
import { openStore } from '../../src/store/database/open-store.ts';
import { insertRows } from '../../src/store/database/sql.ts';
import type { Store } from '../../src/store/database/store.ts';
import { freshSqlite } from '../setup/fresh-sqlite.ts';

const AT = '2026-06-12T09:00:00.000Z';
const CARS = 400;
const ids = Array.from({ length: CARS }, (_, i) => `car-${String(i).padStart(4, '0')}`);

describe('what a round writes into a SQLite file', () => {
  let folder: string;
  let store: Store;

  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), 'foldkeep-pages-'));
    store = await openStore(freshSqlite(folder));
    const zone = { timeZone: 'Europe/London', createdAt: AT };
    await store.writeSql(async (sql) => {
      await insertRows(sql, 'organisation', [
        { id: 'g', name: 'Shop', kind: 'shop', language: 'en', ...zone },
      ]);
      const owner = { organisationId: 'g', name: 'Owner', email: 'owner@example.org' };
      await insertRows(sql, 'owner', [
        { id: 'o', ...owner, addressHash: 'h', language: 'en', ...zone },
      ]);
      const car = { organisationId: 'g', ownerId: 'o', foldedLimitDays: 3, lookAt: LOOK_NOW };
      await insertRows(
        sql,
        'car',
        ids.map((id) => ({ id, registration: id, ...car, ...zone })),
      );
    });
  });
  afterEach(async () => {
    await store.close();
    rmSync(folder, { recursive: true });
  });

  const carPages = async () =>
    (
      await store.sql.all<{ pageno: number }>(
        `SELECT "pageno" FROM "dbstat" WHERE "name" = 'car' ORDER BY "pageno"`,
      )
    ).map(({ pageno }) => pageno);
  const lookAtAll = () =>
    store.writeSql((sql) =>
      storeLooks(
        sql,
        ids.map((id) => ({ id, lookAt: '2027-06-12T00:00:00.000Z' })),
        AT,
      ),
    );

  it('is the rows of its cars where they are, also when it looks at them for the first time', async () => {
    expect(await latestLook(store.sql)).toBeNull();
    const before = await carPages();
    expect(before.length).toBeGreaterThan(10);
    await lookAtAll();
    expect(await latestLook(store.sql)).toBe(AT);
    expect(await carPages()).toEqual(before);
  });

  it.runIf(existsSync('/proc/self/fd'))(
    'is in no file but those of the database, whatever a statement might have to undo',
    async () => {
      const files = await store.writeSql(async (sql) => {
        await storeLooks(
          sql,
          ids.map((id) => ({ id, lookAt: AT })),
          AT,
        );
        await sql.run('UPDATE "owner" SET "name" = "name"');
        await sql.run('UPDATE "car" SET "registration" = "registration" || ?', ['!'.repeat(200)]);
        return openFiles();
      });
      expect(files.filter((file) => file.startsWith(folder)).length).toBeGreaterThan(2);
      expect(files.filter((file) => file.includes('etilqs_'))).toEqual([]);
    },
  );
});

/** What this process holds open; SQLite's temporary files have no name any more, but their link tells it. */
function openFiles(): string[] {
  return readdirSync('/proc/self/fd').flatMap((fd) => {
    try {
      return [readlinkSync(`/proc/self/fd/${fd}`)];
    } catch {
      return [];
    }
  });
}
