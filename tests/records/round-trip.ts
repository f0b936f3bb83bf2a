import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { LOOK_NOW } from '../../src/domain/round/next-look.ts';
import { readSnapshot } from '../../src/store/database/snapshot.ts';
import type { Context } from '../../src/usecases/context/context.ts';
import { exportRecords } from '../../src/usecases/records/export-records.ts';
import { importFile } from '../../src/usecases/tables/import-file.ts';
import { makeKey } from '../../src/usecases/organisations/organisations.ts';
import type { RoundResult } from '../../src/usecases/round/plan-round.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { RECORD_SETS } from '../../src/usecases/records/record-sets.ts';
import type { Databases } from '../setup/databases.ts';
import { loadedScenario } from '../setup/loaded-scenario.ts';
import { contextAt, deliverAll, exported, liveIn, NOW, ownFolder } from './lived-in.ts';
import type { ExportedDocument } from './lived-in.ts';

const LOADING = 300_000;

function saidBy(round: RoundResult | undefined): string[] {
  return (round?.letters ?? [])
    .map(({ kind, carIds, to }) => `${kind} ${to.address} ${[...carIds].sort().join()}`)
    .sort();
}

/** What an export of years of records holds, and that it comes back as it went out; `twice` tries what comes after. */
export function tryRoundTrip(databases: Databases, twice: boolean): void {
  const folder = ownFolder();
  const opened: Context[] = [];
  let url: string;
  let document: ExportedDocument;

  const open = async (address: string, now = NOW) => {
    const context = await contextAt(address, now);
    opened.push(context);
    return context;
  };
  const take = (context: Context, file: string, dryRun = false) =>
    importFile(context, { file, organisation: null, dryRun });

  beforeAll(async () => {
    url =
      databases.dialect === 'sqlite'
        ? await loadedScenario(folder.path('.'), NOW)
        : await databases.fresh();
    const context = await open(url);
    await liveIn(context, folder.path('tray'));
    // The server is running here: on SQLite the store has the file to itself.
    document = await exported(url, folder.path('export.json'));
  }, LOADING);
  afterAll(async () => {
    for (const context of opened) await context.store.close();
    folder.remove();
  });

  it('has every kind of record in it, and no file is written over', async () => {
    const [shop] = document.organisations.filter(({ closures }) => (closures ?? []).length > 0);
    for (const { name } of RECORD_SETS) expect(document.organisations[0]).toHaveProperty(name);
    const filled = Object.entries(shop ?? {}).filter(([, value]) => Array.isArray(value));
    // A kind with no record in it would not be missed by this test.
    expect(filled.filter(([, records]) => records.length === 0).map(([name]) => name)).toEqual([]);
    const again = exportRecords(url, NOW, { file: folder.path('export.json'), organisation: null });
    await expect(again).rejects.toThrow('exists already');
    expect(readdirSync(folder.path('.')).filter((name) => name.includes('part'))).toEqual([]);
    expect(statSync(folder.path('export.json')).mode & 0o077).toBe(0);
  });

  it('is taken at one moment, whoever writes meanwhile', async () => {
    const other = await databases.fresh();
    const context = await open(other);
    const keyFor = (name: string) => makeKey(context, { name }, 'full');
    await keyFor('Before');
    const names = await readSnapshot(other, async (sql) => {
      const asked = 'SELECT "name" FROM "organisation" ORDER BY "name"';
      const first = await sql.all(asked);
      await keyFor('After');
      return [first, await sql.all(asked)];
    });
    expect(names).toEqual([[{ name: 'Before' }], [{ name: 'Before' }]]);
    expect(await context.store.records.organisation.count()).toBe(2);
  });

  it('opens nothing: no key, link or session is in it, and no token in a letter', async () => {
    const text = readFileSync(folder.path('export.json'), 'utf8');
    const { sql } = (opened[0] as Context).store;
    const hashes = await sql.all<{ hash: string }>(
      'SELECT "hash" FROM "access_key" UNION SELECT "hash" FROM "link" UNION SELECT "hash" FROM "session"',
    );
    expect(hashes.length).toBeGreaterThan(20);
    for (const { hash } of hashes) expect(text).not.toContain(hash);
    expect(text).toContain('https://care.example.org/u/left-out');
    // The page on privacy is named by its organisation: it opens nothing.
    expect(text).not.toMatch(/care\.example\.org\/(?!privacy\/|\w+\/left-out)\w+\/\S{20}/);
  });

  it('comes back from an empty database as it went in', async () => {
    const other = await databases.fresh();
    const context = await open(other);
    const dry = await take(context, folder.path('export.json'), true);
    expect(await context.store.records.organisation.count()).toBe(0);
    const imported = await take(context, folder.path('export.json'));
    expect(imported).toEqual(dry);
    expect(imported.tally).toMatchObject({ organisations: 3, diary: 1, wordings: 1 });
    const again = await exported(other, folder.path('again.json'));
    expect(again.organisations).toEqual(document.organisations);
  });

  it('sends nothing that waited: it is cancelled, and what is still true is written anew', async () => {
    const source = await databases.fresh();
    const context = await open(source);
    await take(context, folder.path('export.json'));
    await context.store.writeSql(async (sql) => {
      await sql.run('DELETE FROM "letter_occasion"');
      await sql.run('DELETE FROM "report"');
      await sql.run('DELETE FROM "letter_body"');
      await sql.run('DELETE FROM "letter"');
      await sql.run(`UPDATE "car" SET "lookAt" = '0001-01-01T00:00:00.000Z'`);
    });
    const written = await planRound(context);
    expect(written.planned).toBeGreaterThan(20);
    const [begun, claimed] = written.letters;
    await context.store.writeSql(async (sql) => {
      // One was being sent when the server was killed, one had only been taken up.
      await sql.run(
        `UPDATE "letter" SET "state" = 'sending', "leaseUntil" = ?, "leaseToken" = 't', "startedAt" = ? WHERE "id" = ?`,
        [NOW, NOW, begun?.id ?? ''],
      );
      await sql.run(`UPDATE "letter" SET "state" = 'sending', "leaseUntil" = ? WHERE "id" = ?`, [
        NOW,
        claimed?.id ?? '',
      ]);
    });
    await exported(source, folder.path('waiting.json'));
    const later = await open(await databases.fresh(), '2026-07-15T13:00:00.000Z');
    const { lettersHeldBack } = await take(later, folder.path('waiting.json'));
    expect(lettersHeldBack).toBe(written.planned - 1);

    await deliverAll(later, folder.path('none'));
    expect(existsSync(folder.path('none')) ? readdirSync(folder.path('none')) : []).toEqual([]);
    const { records } = later.store;
    expect(await records.letter.count({ where: { state: 'cancelled' } })).toBe(lettersHeldBack);
    const unknown = await records.letter.findMany({ where: { state: 'unknown' } });
    expect(unknown.map(({ id, nextTryAt }) => [id, nextTryAt])).toEqual([[begun?.id, null]]);

    const round = await planRound(later);
    const stillTrue = written.letters.filter(({ id }) => id !== begun?.id);
    expect(saidBy(round)).toEqual(saidBy({ ...written, letters: stillTrue }));
  });

  it('of one organisation has that one alone', async () => {
    const name = document.organisations[1]?.['name'] as unknown as string;
    const file = folder.path('one.json');
    await exportRecords(url, NOW, { file, organisation: name });
    const one = JSON.parse(readFileSync(file, 'utf8')) as ExportedDocument;
    expect(one.organisations).toEqual([document.organisations[1]]);
    const none = exportRecords(url, NOW, {
      file: folder.path('none.json'),
      organisation: 'Nobody',
    });
    await expect(none).rejects.toThrow('no organisation "Nobody"');
    expect(existsSync(folder.path('none.json'))).toBe(false);
  });

  if (!twice) return;

  it('says nothing twice: a round over imported records owes what it owed before', async () => {
    const context = await open(await databases.fresh());
    await take(context, folder.path('export.json'));
    // An import has every car looked at afresh; the records that it came from get the same look.
    const source = opened[0] as Context;
    await source.store.writeSql((sql) => sql.run('UPDATE "car" SET "lookAt" = ?', [LOOK_NOW]));
    for (const at of [NOW, '2026-09-20T12:00:00.000Z']) {
      const [was, is] = [source, context].map((one) => planRound(one, { at, dryRun: true }));
      expect(saidBy(await is)).toEqual(saidBy(await was));
    }
    const round = await planRound(context);
    expect(round.cancelled).toBe(0);
    expect(round.letters.filter(({ kind }) => kind !== 'care-note')).toEqual([]);
  });

  it('is refused a second time, and changes nothing then', async () => {
    const other = await databases.fresh();
    const context = await open(other);
    await take(context, folder.path('export.json'));
    await expect(take(context, folder.path('export.json'))).rejects.toThrow(/are here already/);
    await expect(take(context, folder.path('export.json'), true)).rejects.toThrow(
      /are here already/,
    );
    const again = await exported(other, folder.path('untouched.json'));
    expect(again.organisations).toEqual(document.organisations);
  });
}
