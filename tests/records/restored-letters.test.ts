import { existsSync, readdirSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import { buildApp } from '../../src/app.ts';
import { readSettings } from '../../src/config.ts';
import { beatHeart, stopHeart } from '../../src/usecases/delivery/heartbeat.ts';
import { eraseFrom } from '../../src/usecases/owners/erase-again.ts';
import { backUp } from '../../src/usecases/records/back-up.ts';
import { moveRecords } from '../../src/usecases/records/move-records.ts';
import { restoreBackup } from '../../src/usecases/records/restore-backup.ts';
import { holdOldLetters } from '../../src/usecases/round/hold-restored.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { deliverAll } from '../round/deliver-all.ts';
import { eachDatabase, postgresqlDatabases } from '../setup/databases.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { ownFolder } from './lived-in.ts';

const BACKED_UP = '2026-06-01T09:00:00.000Z';
const LEFT = '2026-06-02T12:00:00.000Z';
const RESTORED = '2026-06-03T23:30:00.000Z';
const LATER = '2026-06-04T12:00:00.000Z';
const folder = ownFolder();
afterAll(() => folder.remove());

describe('a server over a restored SQLite file', () => {
  it('holds what left after the backup, tells of what is new, and needs no second word', async () => {
    const live = await openWorkshop(BACKED_UP, `file:${folder.path('live.db')}`);
    const { carId } = await fitted(live, { top: { fittedOn: '2025-05-10' } });
    await backUp(`file:${folder.path('live.db')}`, folder.path('copy.db'));
    live.setNow(LEFT);
    await planRound(live.context);
    const left = await deliverAll(live);
    expect(left.length).toBeGreaterThan(0);
    await live.close();

    const databaseUrl = `file:${folder.path('again.db')}`;
    const wish = { file: folder.path('copy.db'), replace: false, dryRun: false };
    await restoreBackup(databaseUrl, RESTORED, wish);
    expect(existsSync(folder.path('again.db.restored'))).toBe(true);
    const start = async () => {
      const settings = readSettings({
        DATABASE_URL: databaseUrl,
        MAIL_TRAY: folder.path('tray'),
        PORT: '0',
        LOG_LEVEL: 'silent',
      });
      return buildApp(settings, { now: () => LATER });
    };
    const app = await start();
    expect(existsSync(folder.path('again.db.restored'))).toBe(false);
    const letters = () =>
      app.store.sql.all<{ subject: string; state: string; nextTryAt: string | null }>(
        'SELECT "subject", "state", "nextTryAt" FROM "letter" ORDER BY "id"',
      );
    const held = await letters();
    expect(held.map(({ subject }) => subject)).toEqual(left.map(({ subject }) => subject));
    expect(held.every(({ state, nextTryAt }) => state === 'unknown' && nextTryAt === null)).toBe(
      true,
    );
    await planRound(app.context);
    await app.deliver();
    const tray = () =>
      existsSync(folder.path('tray'))
        ? readdirSync(folder.path('tray')).filter((name) => name.endsWith('.eml'))
        : [];
    expect(tray()).toEqual([]);
    // What nobody can have been told yet goes its way.
    await app.store.writeSql((sql) =>
      sql.run(
        `INSERT INTO "position_entry" ("id", "organisationId", "carId", "position", "at", "damp", "recordedAt", "recordedBy") SELECT 'p', "organisationId", "id", 'folded', '2026-05-20T08:00:00.000Z', 0, '2026-06-04T08:00:00.000Z', 'test' FROM "car" WHERE "id" = ?`,
        [carId],
      ),
    );
    await app.store.writeSql((sql) => sql.run(`UPDATE "car" SET "lookAt" = '2026-01-01'`));
    await planRound(app.context);
    await app.deliver();
    expect(tray().length).toBeGreaterThan(0);
    await app.close();
    const again = await start();
    expect(
      await again.store.sql.all(`SELECT 1 FROM "letter" WHERE "state" = 'unknown'`),
    ).toHaveLength(held.length);
    await again.close();
  });
});

eachDatabase('letters of records that came back by other tools', ({ open, dialect }) => {
  it('are held by hand, and the round writes none of them again', async () => {
    const shop = await open(RESTORED);
    await fitted(shop, { top: { fittedOn: '2025-05-10' } });
    const held = await holdOldLetters(shop.context, RESTORED);
    expect(held).toBeGreaterThan(0);
    shop.setNow(LATER);
    expect(await planRound(shop.context)).toMatchObject({ planned: 0 });
    expect(await deliverAll(shop)).toEqual([]);
    await shop.close();
  });

  it('are left to a server that runs: nobody erases beside it', async () => {
    const shop = await open(RESTORED);
    await beatHeart(shop.context, 'server');
    const file = folder.path('nobody');
    const beside: unknown = await eraseFrom(shop.context, file).catch(String);
    // The lock of a SQLite file lets nobody else come so far.
    const refused = expect.stringContaining('A server uses this database. Stop it first');
    expect(beside).toEqual(dialect === 'postgresql' ? refused : 0);
    await stopHeart(shop.context, 'server');
    expect(await eraseFrom(shop.context, file)).toBe(0);
    await shop.close();
  });
});

describe('a move', () => {
  const fresh = postgresqlDatabases();
  it('is refused while a server holds the file, or serves the new database', async () => {
    const from = `file:${folder.path('moving.db')}`;
    const to = await fresh();
    const request = { from, to, at: RESTORED, dryRun: false, progress: () => undefined };
    const live = await openWorkshop(RESTORED, from);
    await expect(moveRecords(request)).rejects.toThrow(
      /Another Foldkeep process is using .*Stop it first/,
    );
    await live.close();
    const there = await openWorkshop(RESTORED, to);
    await there.context.store.writeSql((sql) => sql.run('DELETE FROM "organisation"'));
    await beatHeart(there.context, 'server');
    await expect(moveRecords(request)).rejects.toThrow(
      'A server uses this database. Stop it first',
    );
    const { sql } = there.context.store;
    expect(await sql.all('SELECT 1 FROM "moved"')).toEqual([]);
    await there.close();
  });
});
