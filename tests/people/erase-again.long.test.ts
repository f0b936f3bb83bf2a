import { mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { App } from '../../src/app.ts';
import { buildApp } from '../../src/app.ts';
import type { Door } from '../../src/cli/door.ts';
import { erasedCommand } from '../../src/cli/erased.ts';
import { readSettings } from '../../src/config.ts';
import { openStore } from '../../src/store/database/open-store.ts';
import { programCaller } from '../../src/usecases/context/context.ts';
import { eraseOwner } from '../../src/usecases/owners/erase-owner.ts';
import { postgresqlDatabases } from '../setup/databases.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

const NOW = '2026-07-15T12:00:00.000Z';
let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'foldkeep-erased-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe('a PostgreSQL database that is put back as it was before an erasure', () => {
  const fresh = postgresqlDatabases();

  /** Makes one database a copy of another, byte for byte, as a restored backup is. */
  async function copied(from: string, to: string): Promise<void> {
    const [source, target] = [from, to].map((url) => new URL(url).pathname.slice(1));
    const server = new URL(from);
    server.pathname = 'postgres';
    const client = new pg.Client({ connectionString: server.href });
    await client.connect();
    try {
      await client.query(`DROP DATABASE "${target}" WITH (FORCE)`);
      await client.query(`CREATE DATABASE "${target}" TEMPLATE "${source}"`);
    } finally {
      await client.end();
    }
  }

  const serve = (url: string) =>
    buildApp(
      readSettings({
        DATABASE_URL: url,
        ERASED_FILE: join(folder, 'kept', 'erased'),
        MAIL_TRAY: join(folder, 'tray'),
        LOG_LEVEL: 'silent',
      }),
    );
  const namesIn = async (app: App) =>
    (await app.store.records.owner.findMany({ orderBy: { id: 'asc' } })).map(({ name }) => name);

  it('is without the person at the next start, by the file that the server keeps', async () => {
    const [live, backup] = [await fresh(), await fresh()];
    const shop = await openWorkshop(NOW, live);
    const ada = await fitted(shop, { owner: { name: 'Ada Quill', email: 'ada@example.org' } });
    await fitted(shop, { owner: { name: 'Bo Hinge', email: 'bo@example.org' } });
    await shop.close();
    await copied(live, backup);

    const app = await serve(live);
    app.startClock();
    const caller = programCaller(
      (await app.store.records.owner.findFirstOrThrow()).organisationId,
      'x',
    );
    await eraseOwner(app.context, caller, ada.ownerId, '*');
    await app.close();
    const kept = join(folder, 'kept', 'erased');
    expect(readFileSync(kept, 'utf8')).toBe(`${ada.ownerId}\n`);
    expect(statSync(kept).mode & 0o777).toBe(0o600);

    await copied(backup, live);
    const untouched = await openStore(live);
    expect((await untouched.records.owner.findFirstOrThrow()).name).toBe('Ada Quill');
    await untouched.close();
    const restored = await serve(live);
    expect(await namesIn(restored)).toEqual(['erased', 'Bo Hinge']);
    await restored.close();
    // The file stays: an older backup may be put back yet.
    expect(readFileSync(kept, 'utf8')).toBe(`${ada.ownerId}\n`);
  });

  it('is carried past it by hand, and nobody is erased whom the file does not name', async () => {
    const [live, backup] = [await fresh(), await fresh()];
    const shop = await openWorkshop(NOW, live);
    const ada = await fitted(shop);
    const bo = await fitted(shop, { owner: { name: 'Bo Hinge', email: 'bo@example.org' } });
    await shop.close();
    await copied(live, backup);
    const file = join(folder, 'carried');
    const said: string[] = [];
    const spy = vi.spyOn(process.stdout, 'write').mockImplementation((words) => {
      said.push(String(words));
      return true;
    });
    const run = async (url: string, ...words: string[]) => {
      const store = await openStore(url);
      const context = {
        store,
        now: () => NOW,
        publicUrl: 'https://care.example.org',
        mailDomain: 'x',
      };
      const door = { openContext: async () => context } as unknown as Door;
      await erasedCommand(door).parseAsync(words, { from: 'user' });
    };
    try {
      const store = await openStore(live);
      const context = {
        store,
        now: () => NOW,
        publicUrl: 'https://care.example.org',
        mailDomain: 'x',
      };
      const { organisationId } = await store.records.owner.findFirstOrThrow();
      await eraseOwner(context, programCaller(organisationId, 'x'), bo.ownerId, '*');
      await store.close();
      await run(live, '--export', file);
      await run(backup, '--apply', file);
      await expect(run(live, '--apply', join(folder, 'no-such-file'))).rejects.toThrow('no file');
      await expect(run(live)).rejects.toThrow('either');
    } finally {
      spy.mockRestore();
    }
    expect(said.join('')).toContain('names 1 erased owners');
    expect(said.join('')).toContain('Erased again: 1.');
    const after = await openStore(backup);
    const owners = await after.records.owner.findMany({ orderBy: { id: 'asc' } });
    expect(owners.map(({ id, erasedAt }) => [id, erasedAt !== null])).toEqual([
      [ada.ownerId, false],
      [bo.ownerId, true],
    ]);
    await after.close();
  });
});
