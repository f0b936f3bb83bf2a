import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openStore } from '../../src/store/database/open-store.ts';
import { makeKey } from '../../src/usecases/organisations/organisations.ts';
import type { Breakable } from './breakable-databases.ts';
import { fillableSqlite, mayMount, stoppablePostgresql } from './breakable-databases.ts';
import { appOn, ready, readySoon } from './readiness.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'foldkeep-outage-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** What readiness says while the database is out, every other promise of it held on the way. */
async function wordsWhileOut(made: Promise<Breakable>): Promise<string> {
  const database = await made;
  const app = await appOn(database.url, folder);
  try {
    const { key } = await makeKey(app.context, { name: 'Elmyard Soft Tops' }, 'full');
    expect(await ready(app)).toMatchObject({ status: 200 });
    await database.break();
    const out = await readySoon(app, 503);
    expect(out).toMatchObject({ status: 503, wait: '5' });
    const headers = { authorization: `Bearer ${key}` };
    const payload = { name: 'Ada Quill', email: 'ada@example.org' };
    const post = { method: 'POST', url: '/v1/owners', headers, payload } as const;
    const asked = await app.server.inject(post);
    expect(asked.statusCode).toBe(503);
    expect(asked.headers['retry-after']).toBe('5');
    expect(asked.headers['content-type']).toContain('application/problem+json');
    await database.mend();
    expect(await readySoon(app, 200)).toMatchObject({ status: 200 });
    expect((await app.server.inject(post)).statusCode).toBe(201);
    return out.body;
  } finally {
    await app.close();
    await database.remove();
  }
}

describe('a database that is out', () => {
  it('is said while PostgreSQL is stopped, and over when it is back', async () => {
    expect(await wordsWhileOut(stoppablePostgresql())).toContain('database: does not answer');
  }, 60_000);

  it.runIf(mayMount)(
    'is said while the disk is full, and over when there is room',
    async () => {
      expect(await wordsWhileOut(fillableSqlite())).toContain('database: its disk is full');
    },
    60_000,
  );
});

describe('a start on a database that cannot be used', () => {
  it('says that a server does not answer, lets nobody in or has no such database', async () => {
    const database = await stoppablePostgresql();
    const tried = async (url: string) =>
      String(await openStore(url).catch((refused: unknown) => refused));
    try {
      expect(await tried(database.url.replace(/records$/, 'nothing'))).toContain(
        'has no database nothing',
      );
      expect(await tried(database.url.replace(':foldkeep@', ':wrong@'))).toContain(
        'does not let this user in',
      );
      await database.break();
      expect(await tried(database.url)).toContain('cannot be reached');
      await database.mend();
    } finally {
      await database.remove();
    }
  }, 60_000);
});
