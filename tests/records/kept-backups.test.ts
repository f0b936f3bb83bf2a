import { readdirSync, statSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { FastifyBaseLogger } from 'fastify';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { makeInOwnProcess, watchBackups } from '../../src/cron/backups.ts';
import { BACKUP_FIGURES } from '../../src/domain/backups/rotation.ts';
import { valuesOf } from '../../src/domain/figures/figure.ts';
import { backupMissed, keepBackups, listBackups } from '../../src/usecases/records/keep-backups.ts';
import { restoreBackup } from '../../src/usecases/records/restore-backup.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import type { Workshop } from '../setup/workshop.ts';
import { NOW, ownFolder } from './lived-in.ts';

let folder: ReturnType<typeof ownFolder>;
let shop: Workshop;
const plan = () => ({
  databaseUrl: `file:${folder.path('live.db')}`,
  folder: null,
  figures: valuesOf(BACKUP_FIGURES),
});
const quiet = { info: () => undefined, error: () => undefined } as unknown as FastifyBaseLogger;
const on = (day: string) => `${day}T02:30:00.000Z`;

beforeEach(async () => {
  folder = ownFolder();
  shop = await openWorkshop(NOW, plan().databaseUrl);
  await fitted(shop);
});
afterEach(async () => {
  await shop.close();
  folder.remove();
});

it('are made beside the database, for one pair of eyes, and can be restored', async () => {
  const { file, made } = await keepBackups(plan(), NOW, false);
  expect(file).toBe(folder.path('backups/foldkeep-2026-07-15T12-00-00Z.db'));
  expect(statSync(file).mode & 0o077).toBe(0);
  expect(statSync(folder.path('backups')).mode & 0o077).toBe(0);
  expect(made?.counts.car).toBe(1);
  const restored = await restoreBackup(`file:${folder.path('new.db')}`, NOW, {
    file,
    replace: false,
    dryRun: false,
  });
  expect(restored.counts.car).toBe(1);
  expect(listBackups(plan()).map(({ at }) => at)).toEqual([NOW]);
});

it('make way for newer ones, and what bears another name is left alone', async () => {
  await keepBackups(plan(), on('2026-07-01'), false);
  const own = folder.path('backups/before-the-move.db');
  writeFileSync(own, 'mine');
  const dead = folder.path('backups/foldkeep-2026-07-02T02-30-00Z.db.part-4194304');
  writeFileSync(dead, 'half');
  const few = { ...plan(), figures: { days: 1, weeks: 0, months: 0 } };
  const told = await keepBackups(few, on('2026-07-03'), true);
  expect(told.removed.map(({ at }) => at)).toEqual([on('2026-07-01')]);
  expect(readdirSync(folder.path('backups'))).toHaveLength(3);
  const { kept } = await keepBackups(few, on('2026-07-03'), false);
  expect(kept.map(({ at }) => at)).toEqual([on('2026-07-03')]);
  expect(readdirSync(folder.path('backups')).toSorted()).toEqual([
    'before-the-move.db',
    'foldkeep-2026-07-03T02-30-00Z.db',
  ]);
});

it('that fail take nothing away', async () => {
  await keepBackups(plan(), on('2026-07-01'), false);
  const few = { ...plan(), figures: { days: 1, weeks: 0, months: 0 } };
  const bare = { ...few, databaseUrl: `file:${folder.path('none.db')}` };
  writeFileSync(folder.path('none.db'), 'no database');
  await expect(keepBackups(bare, on('2026-07-05'), false)).rejects.toThrow('not a database');
  expect(listBackups(plan()).map(({ at }) => at)).toEqual([on('2026-07-01')]);
});

it('are missed after a day, and where there is none', async () => {
  expect(backupMissed(listBackups(plan()), NOW)).toBe(true);
  await keepBackups(plan(), on('2026-07-15'), false);
  expect(backupMissed(listBackups(plan()), '2026-07-16T03:00:00.000Z')).toBe(false);
  expect(backupMissed(listBackups(plan()), '2026-07-16T04:00:00.000Z')).toBe(true);
});

it('are made by the clock in a process of their own, soon after a start that missed one', async () => {
  const program = fileURLToPath(new URL('../../dist/main.js', import.meta.url));
  vi.stubEnv('DATABASE_URL', plan().databaseUrl);
  const missed = () => backupMissed(listBackups(plan()), new Date().toISOString());
  let made = 0;
  const make = () => makeInOwnProcess(program).then(() => void made++);
  const start = () => watchBackups({ cron: '0 0 1 1 *', missed, make }, quiet, 0);
  const first = start();
  await vi.waitFor(() => expect(made).toBe(1), 20_000);
  await first.stop();
  expect(listBackups(plan())[0]?.bytes).toBeGreaterThan(0);
  expect(missed()).toBe(false);
  const second = start();
  await new Promise((resolve) => setTimeout(resolve, 50));
  await second.stop();
  expect(made).toBe(1);
  vi.unstubAllEnvs();
});
