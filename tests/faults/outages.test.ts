import { copyFileSync, mkdtempSync, rmSync, statSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openStore } from '../../src/store/database/open-store.ts';
import { outageOf } from '../../src/store/database/outage.ts';
import { DatabaseUnusable } from '../../src/store/database/unusable.ts';
import { appOn, ready, readySoon } from './readiness.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'foldkeep-outage-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe('a database that is out', () => {
  it.each([
    ['overwritten', (file: string) => writeFileSync(file, Buffer.alloc(statSync(file).size, 'x'))],
    ['cut off', (file: string) => truncateSync(file, 8_192)],
  ])('is said of a file that was %s under the server', async (_, damage) => {
    const file = join(folder, 'records.db');
    await (await openStore(`file:${file}`)).close();
    const app = await appOn(`file:${file}`, folder);
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
