import { mkdirSync } from 'node:fs';
import { afterAll, expect, test } from 'vitest';
import { openStore } from '../../src/store/database/open-store.ts';
import { wholeTables } from '../../src/store/records/whole-tables.ts';
import { deliverLetters } from '../../src/usecases/delivery/deliver-letters.ts';
import { moveRecords } from '../../src/usecases/records/move-records.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { scripted, SENT } from '../delivery/post-office.ts';
import { postgresqlDatabases } from '../setup/databases.ts';
import { loadedScenario } from '../setup/loaded-scenario.ts';
import { contextAt, liveIn, NOW, ownFolder } from './lived-in.ts';

const emptyPostgresql = postgresqlDatabases('nothing');
const folder = ownFolder();
afterAll(() => folder.remove());

/** A SQLite database of the demo's years. */
async function lived(name: string): Promise<string> {
  mkdirSync(folder.path(name));
  const url = await loadedScenario(folder.path(name), NOW);
  const context = await contextAt(url);
  await liveIn(context, folder.path(`${name}/tray`));
  await context.store.close();
  return url;
}

async function request(from: string, to: string, more: object = {}) {
  return { from, to, at: NOW, dryRun: false, progress: () => undefined, ...more };
}

test('a move carries everything, goes on where it was stopped, and shuts the old database', async () => {
  const from = await lived('first');
  const context = await contextAt(from);
  const letters = await context.store.sql.all('SELECT * FROM "letter" ORDER BY "id"');
  const tables = await wholeTables(context.store.sql);
  await context.store.close();
  const to = await emptyPostgresql();

  const dry = await moveRecords(await request(from, to, { dryRun: true }));
  expect(dry.map(({ table }) => table).sort()).toEqual(tables.map(({ table }) => table).sort());
  const empty = await openStore(to);
  expect(await empty.records.letter.count()).toBe(0);
  await empty.close();

  // Stopped in the middle: what is told of the way throws.
  let told = 0;
  const stopped = () => {
    if (++told === 9) throw new Error('the plug was pulled');
  };
  await expect(moveRecords(await request(from, to, { progress: stopped }))).rejects.toThrow('plug');
  await expect(openStore(to)).rejects.toThrow(/foldkeep move again/);
  const still = await openStore(from);
  await still.close();

  const moved = await moveRecords(await request(from, to));
  expect(moved.map(({ table, rows }) => [table, rows])).toEqual(
    dry.map(({ table, rows }) => [table, rows]),
  );
  expect(moved.some(({ before }) => before > 0)).toBe(true);
  await expect(openStore(from)).rejects.toThrow(/moved to PostgreSQL at .*DATABASE_URL/);
  await expect(openStore(from)).rejects.not.toThrow(/postgres:|password/);
  await expect(moveRecords(await request(from, await emptyPostgresql()))).rejects.toThrow(
    /moved to/,
  );

  const there = await contextAt(to);
  expect(await there.store.sql.all('SELECT * FROM "letter" ORDER BY "id"')).toEqual(letters);
  // The round writes nothing anew, and nothing that had arrived leaves again.
  expect(await planRound(there)).toMatchObject({ planned: 0, cancelled: 0 });
  const sender = scripted(SENT);
  await deliverLetters(there, sender, { mailFrom: { name: 'F', address: 'f@example.org' } });
  expect(sender.got).toEqual([]);
  await there.store.close();
}, 120_000);

test('a database that holds something is left alone', async () => {
  const source = `file:${folder.path('other.db')}`;
  await (await openStore(source)).close();
  const to = await emptyPostgresql();
  const context = await contextAt(to);
  await context.store.records.organisation.create({
    data: {
      id: 'o',
      name: 'Other Shop',
      kind: 'shop',
      timeZone: 'Europe/London',
      language: 'en',
      createdAt: NOW,
    },
  });
  await context.store.close();
  await expect(moveRecords(await request(source, to))).rejects.toThrow(/not empty/);
});

test('a row that was changed on the way is found by its checksum', async () => {
  const source = await lived('third');
  const to = await emptyPostgresql();
  let told = 0;
  const progress = (words: string) => {
    if (words.startsWith('owner') && told++ === 0) throw new Error('stop here');
  };
  const asked = await request(source, to);
  await expect(moveRecords({ ...asked, progress })).rejects.toThrow('stop here');
  const { default: pg } = await import('pg');
  const client = new pg.Client({ connectionString: to });
  await client.connect();
  await client.query(`UPDATE "owner" SET "name" = 'Somebody Else'`);
  await client.end();
  await expect(moveRecords(asked)).rejects.toThrow(/owner differs/);
}, 120_000);
