import { execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const dist = new URL('../../dist/', import.meta.url);

describe('the joined program (npm run prepare)', () => {
  it('loads every package that it left outside, when somebody needs it', () => {
    const text = readFileSync(new URL('joined.cjs', dist), 'utf8');
    const left = [...text.matchAll(/\b__load\("([^"]+)"\)/g)].map(([, name]) => name);
    expect(left).toEqual(expect.arrayContaining(['sharp', 'imapflow', '@simplewebauthn/server']));
    const loading = left.map((name) => `await import(${JSON.stringify(name)});`).join('');
    const args = ['--input-type=module', '-e', `${loading} console.log('all')`];
    const cwd = fileURLToPath(dist);
    expect(execFileSync(process.execPath, args, { cwd, encoding: 'utf8' })).toBe('all\n');
  });

  it('has the server do what a command may not open the records for', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'foldkeep-beside-'));
    const file = join(folder, 'one.db');
    const env = { ...process.env, DATABASE_URL: `file:${file}`, PORT: '0', LOG_LEVEL: 'silent' };
    const main = fileURLToPath(new URL('main.js', dist));
    const server = spawn(process.execPath, [main, 'serve'], { cwd: folder, env });
    await once(server.stdout, 'data');
    const command = (...words: string[]) =>
      execFileSync(process.execPath, [main, ...words], { cwd: folder, env, encoding: 'utf8' });
    expect(command('key', '--organisation', 'A Shop')).toMatch(/^fk_[\w-]{43}\n$/);
    expect(command('key', 'list')).toContain('full  used never');
    // What needs the records still: it is refused in words.
    expect(() => command('erased', '--export', 'erased')).toThrow('Another Foldkeep process');
    const ended = once(server, 'exit');
    server.kill('SIGTERM');
    expect(await ended).toEqual([0, null]);
    rmSync(folder, { recursive: true });
  });
});
