import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { eraseAgain } from '../../src/usecases/owners/erase-again.ts';
import { backUp } from '../../src/usecases/records/back-up.ts';
import { restoreBackup } from '../../src/usecases/records/restore-backup.ts';
import { wholeDatabase } from '../pages/link-for.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

const NOW = '2026-07-15T12:00:00.000Z';
let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'foldkeep-erased-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe('a backup that is older than an erasure', () => {
  it('is restored without the person: the erasure is remembered and done again', async () => {
    const file = join(folder, 'shop.db');
    const url = `file:${file}`;
    const backup = join(folder, 'backup.db');
    const shop = await openWorkshop(NOW, url);
    const ada = await fitted(shop, { owner: { name: 'Ada Quill', email: 'ada@example.org' } });
    await fitted(shop, {
      owner: { name: 'Bo Hinge', email: 'bo@example.org' },
      car: { registration: 'FK 2' },
    });
    await backUp(url, backup);
    const erased = await shop.call('DELETE', `/v1/owners/${ada.ownerId}`, undefined, {
      'if-match': '*',
    });
    expect(erased.status).toBe(204);
    await shop.close();
    await restoreBackup(url, NOW, { file: backup, replace: true, dryRun: false });
    expect(readFileSync(`${file}.erase-again`, 'utf8')).toBe(`${ada.ownerId}\n`);
    const restored = await openWorkshop(NOW, url);
    expect(await wholeDatabase(restored)).toContain('ada@example.org');
    expect(await eraseAgain(restored.context, url, null)).toBe(1);
    const kept = await wholeDatabase(restored);
    expect(kept).not.toContain('ada@example.org');
    expect(kept).not.toContain('Ada Quill');
    expect(kept).toContain('bo@example.org');
    expect(existsSync(`${file}.erase-again`)).toBe(false);
    expect(await eraseAgain(restored.context, url, null)).toBe(0);
    await restored.close();
  });

  it('is remembered over a second restore before anybody started the server', async () => {
    const file = join(folder, 'shop.db');
    const url = `file:${file}`;
    const backup = join(folder, 'backup.db');
    const shop = await openWorkshop(NOW, url);
    const { ownerId } = await fitted(shop);
    await backUp(url, backup);
    await shop.call('DELETE', `/v1/owners/${ownerId}`, undefined, { 'if-match': '*' });
    await shop.close();
    const again = { file: backup, replace: true, dryRun: false };
    await restoreBackup(url, NOW, again);
    await restoreBackup(url, '2026-07-15T13:00:00.000Z', again);
    expect(readFileSync(`${file}.erase-again`, 'utf8')).toBe(`${ownerId}\n`);
  });
});
