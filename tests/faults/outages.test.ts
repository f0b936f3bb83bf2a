import { copyFileSync, mkdtempSync, rmSync, statSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { App } from '../../src/app.ts';
import { buildApp } from '../../src/app.ts';
import { readSettings } from '../../src/config.ts';
import { openStore } from '../../src/store/database/open-store.ts';
import { outageOf } from '../../src/store/database/outage.ts';
import { DatabaseUnusable } from '../../src/store/database/unusable.ts';
import { makeKey } from '../../src/usecases/organisations/organisations.ts';
import type { Breakable } from './breakable-databases.ts';
import { fillableSqlite, mayMount, stoppablePostgresql } from './breakable-databases.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'foldkeep-outage-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function appOn(url: string): Promise<App> {
  const env = { PORT: '0', DATABASE_URL: url, MAIL_TRAY: join(folder, 'tray') };
  return buildApp(readSettings(env), { logger: false });
}

async function ready({ server }: App) {
  const { statusCode, headers, body } = await server.inject('/readyz');
  return { status: statusCode, type: headers['content-type'], wait: headers['retry-after'], body };
}

/** Asks again until the answer is another: readiness is kept for a second. */
async function readySoon(app: App, status: number) {
  for (let look = 0; look < 60; look++) {
    const found = await ready(app);
    if (found.status === status) return found;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  return ready(app);
}

/** What readiness says while the database is out, every other promise of it held on the way. */
async function wordsWhileOut(made: Promise<Breakable>): Promise<string> {
  const database = await made;
  const app = await appOn(database.url);
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

  it.each([
    ['overwritten', (file: string) => writeFileSync(file, Buffer.alloc(statSync(file).size, 'x'))],
    ['cut off', (file: string) => truncateSync(file, 8_192)],
  ])('is said of a file that was %s under the server', async (_, damage) => {
    const file = join(folder, 'records.db');
    await (await openStore(`file:${file}`)).close();
    const app = await appOn(`file:${file}`);
    expect(await ready(app)).toMatchObject({ status: 200 });
    damage(file);
    const out = await readySoon(app, 503);
    expect(out.body).toContain('database: is damaged');
    await app.close().catch(() => undefined);
  });
});

describe('a start on a database that cannot be used', () => {
  it('says what to do about a damaged file, and leaves it as it is', async () => {
    const whole = join(folder, 'whole.db');
    await (await openStore(`file:${whole}`)).close();
    const { size } = statSync(whole);
    const damages: readonly ((file: string) => void)[] = [
      (file) => writeFileSync(file, 'no database at all'),
      (file) => writeFileSync(file, Buffer.alloc(size, 'x')),
      (file) => truncateSync(file, Math.floor(size / 2)),
      (file) => truncateSync(file, 4_096),
      (file) => truncateSync(file, 50),
    ];
    for (const [n, damage] of damages.entries()) {
      const file = join(folder, `damaged-${n}.db`);
      copyFileSync(whole, file);
      damage(file);
      const before = statSync(file).size;
      const fault: unknown = await openStore(`file:${file}`).catch((refused: unknown) => refused);
      expect(fault, `damage ${n}`).toBeInstanceOf(DatabaseUnusable);
      expect(String(fault)).toMatch(/is damaged or cut off.*npx foldkeep restore BACKUP/);
      expect(statSync(file).size).toBe(before);
    }
  });

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

describe('what is no outage', () => {
  it.each([
    new Error('the deed failed'),
    Object.assign(new Error('UNIQUE constraint failed'), { code: 'SQLITE_CONSTRAINT_UNIQUE' }),
    Object.assign(new Error('duplicate key'), { code: '23505' }),
    Object.assign(new Error('record not found'), { code: 'P2025' }),
    null,
    'text',
  ])('is told apart: %s', (fault) => {
    expect(outageOf(fault)).toBeNull();
  });
});
