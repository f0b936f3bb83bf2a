import { createHash } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { BACKUP_FIGURES } from '../../src/domain/backups/rotation.ts';
import { valuesOf } from '../../src/domain/figures/figure.ts';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { buildProgram } from '../../src/cli/program.ts';
import { sqliteFileOf } from '../../src/store/database/sqlite-store.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { contextAt, NOW, ownFolder } from './lived-in.ts';

const folder = ownFolder();
const url = (name: string) => `file:${folder.path(name)}`;

/** Runs a command on a database and gives back what it printed. */
async function run(databaseUrl: string, ...words: string[]): Promise<string> {
  const printed: string[] = [];
  const print = vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    printed.push(String(text));
    return true;
  });
  const progress = vi.spyOn(process.stderr, 'write').mockReturnValue(true);
  const elsewhere = () => Promise.reject(new Error('not asked for'));
  const program = buildProgram({
    openContext: () => contextAt(databaseUrl),
    serve: elsewhere,
    openServer: elsewhere,
    mailSetup: () => {
      throw new Error('not asked for');
    },
    databaseUrl: () => databaseUrl,
    backupPlan: () => ({ databaseUrl, folder: null, figures: valuesOf(BACKUP_FIGURES) }),
    now: () => NOW,
  });
  try {
    await program.parseAsync(['node', 'foldkeep', ...words]);
  } finally {
    print.mockRestore();
    progress.mockRestore();
  }
  return printed.join('');
}

beforeAll(async () => {
  const workshop = await openWorkshop(NOW, url('shop.db'));
  await fitted(workshop);
  await workshop.post('/v1/round', {});
  await workshop.close();
});
afterAll(() => folder.remove());

describe('foldkeep', () => {
  it('backups lists those of the clock, and makes one as the clock does', async () => {
    expect(await run(url('shop.db'), 'backups')).toContain('No backup yet.');
    const dry = await run(url('shop.db'), 'backups', 'make', '--dry-run');
    expect(dry).toMatch(/would be made\.\n1 would be kept/);
    const said = await run(url('shop.db'), 'backups', 'make');
    expect(said).toMatch(/was made, read back and found whole[^]*1 are kept/);
    expect(await run(url('shop.db'), 'backups')).toContain('foldkeep-2026-07-15T12-00-00Z.db');
  });

  it('backup prints what the copy holds and its SHA-256; restore brings it back', async () => {
    const copy = folder.path('copy.db');
    const said = await run(url('shop.db'), 'backup', copy);
    const sha256 = createHash('sha256').update(readFileSync(copy)).digest('hex');
    expect(said).toContain(`sha256          ${sha256}\n`);
    expect(said).toMatch(/migrations +0001_records, 0002_/);
    expect(said).toMatch(/\n {2}car +1\n/);
    const dry = await run(url('new.db'), 'restore', copy, '--dry-run');
    expect(dry).toContain('would be restored');
    expect(existsSync(folder.path('new.db'))).toBe(false);
    expect(await run(url('new.db'), 'restore', copy)).toContain('was restored');
    await expect(run(url('new.db'), 'restore', copy)).rejects.toThrow('--replace');
    const again = await run(url('new.db'), 'restore', copy, '--replace');
    const [, kept = ''] = /\nThe records that were there are kept in (\S+)\.\n/.exec(again) ?? [];
    expect(existsSync(kept)).toBe(true);
  });

  it('export and import carry the records over, and tell which letters stay behind', async () => {
    const file = folder.path('records.json');
    expect(await run(url('shop.db'), 'export', file)).toMatch(/\n {2}cars +1\n/);
    const dry = await run(url('moved.db'), 'import', file, '--dry-run');
    expect(dry).toMatch(/^Would add:\n {2}organisations +1\n/);
    const said = await run(url('moved.db'), 'import', file);
    expect(said).toMatch(/^Added:\n {2}organisations +1\n/);
    expect(said).toMatch(/had not left, and count as cancelled now: 1\./);
    expect(said).toContain('make new ones with foldkeep key');
    await expect(run(url('moved.db'), 'import', file, '--organisation', 'X')).rejects.toThrow(
      '--organisation is for tables',
    );
  });

  it('export --csv and import carry the cars over', async () => {
    const file = folder.path('cars.csv');
    const csv = ['export', file, '--csv', '--semicolon'];
    expect(await run(url('shop.db'), ...csv)).toContain(': 1\n');
    expect(readFileSync(file, 'utf8')).toContain('\r\nAda Quill;ada@example.org;;');
    await run(url('other.db'), 'key', '--organisation', 'Others');
    const said = await run(url('other.db'), 'import', file, '--organisation', 'Others');
    expect(said).toMatch(/Added:\n {2}owners +1\n {2}cars +1\n {2}tops +1\n$/);
    writeFileSync(file, readFileSync(file, 'utf8').split('\r\n', 1)[0] ?? '');
    const nothing = await run(url('other.db'), 'import', file, '--organisation', 'Others');
    expect(nothing).toBe('There is nothing to add.\n');
  });

  it('key list and key revoke show and end keys', async () => {
    const whose = ['--organisation', 'Key House'];
    const made = await run(url('other.db'), 'key', ...whose, '--name', 'spare', '--days', '30');
    expect(made).toMatch(/^fk_[\w-]{43}\n$/);
    const listed = await run(url('other.db'), 'key', 'list', ...whose);
    expect(listed).toMatch(/^\S{36} {2}full {2}used never {2}ends \d{4}-\d{2}-\d{2} {2}spare\n$/);
    const [id = ''] = listed.split(' ');
    const other = run(url('other.db'), 'key', ...whose, '--kind', 'club');
    await expect(other).rejects.toThrow('“Key House” is there already, as a shop');
    expect(await run(url('other.db'), 'key', ...whose, '--kind', 'shop')).toMatch(/^fk_/);
    expect(await run(url('other.db'), 'key', 'revoke', id)).toBe('Revoked.\n');
    expect(await run(url('other.db'), 'key', 'list', ...whose)).toContain('revoked ');
    await expect(run(url('other.db'), 'key', 'revoke', id)).rejects.toThrow('no such key');
    const nobody = run(url('other.db'), 'key', 'list', '--organisation', 'Nobody');
    await expect(nobody).rejects.toThrow('no organisation "Nobody"');
  });

  it('export and backup say what is missing where no server has ever run', async () => {
    const none = sqliteFileOf(url('none.db'));
    for (const command of ['backup', 'export']) {
      await expect(run(url('none.db'), command, folder.path('x'))).rejects.toThrow(
        `There is no file ${none}.`,
      );
    }
    expect(existsSync(none)).toBe(false);
  });
});
