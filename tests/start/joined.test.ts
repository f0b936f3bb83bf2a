import { execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { accessSync, constants, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const dist = new URL('../../dist/', import.meta.url);

/** What a piece of program that stands in dist/ prints. */
function printed(program: string): string {
  const args = ['--input-type=module', '-e', program];
  return execFileSync(process.execPath, args, { cwd: fileURLToPath(dist), encoding: 'utf8' });
}

describe('the joined program (npm run prepare)', () => {
  it('may be run by its name, as npx runs it, after every build', () => {
    expect(() => accessSync(new URL('main.js', dist), constants.X_OK)).not.toThrow();
  });

  it('finds every package that it left outside, when somebody needs it', () => {
    const text = readFileSync(new URL('joined.cjs', dist), 'utf8');
    const left = [...text.matchAll(/\b__load\("([^"]+)"\)/g)].map(([, name]) => name);
    expect(left).toEqual(expect.arrayContaining(['sharp', 'imapflow', '@simplewebauthn/server']));
    const loading = left.map((name) => `await import(${JSON.stringify(name)});`).join('');
    expect(printed(`${loading} console.log('all')`)).toBe('all\n');
  });

  it('takes the code that was compiled when it was built, and imports out of it', () => {
    const main = new URL('main.js', dist).href;
    const folder = mkdtempSync(join(tmpdir(), 'foldkeep-joined-'));
    // A command that asks for a record of Prisma's, whose engine stands outside.
    const told = printed(`
      process.env.DATABASE_URL = ${JSON.stringify(`file:${join(folder, 'one.db')}`)};
      process.argv = ['node', 'foldkeep', 'key', '--organisation', 'A Shop'];
      const { script } = await import(${JSON.stringify(main)});
      process.on('exit', () => console.log('refused:', script.cachedDataRejected));`);
    expect(told).toMatch(/^\S{20,}\nrefused: false\n$/);
    rmSync(folder, { recursive: true });
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
