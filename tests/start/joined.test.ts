import { execFileSync } from 'node:child_process';
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

// That they load, and a server beside a command, is `joined.long.test.ts`.
describe('the joined program (npm run prepare)', () => {
  it('may be run by its name, as npx runs it, after every build', () => {
    expect(() => accessSync(new URL('main.js', dist), constants.X_OK)).not.toThrow();
  });

  it('finds every package that it left outside', () => {
    const text = readFileSync(new URL('joined.cjs', dist), 'utf8');
    const left = [...text.matchAll(/\b__load\("([^"]+)"\)/g)].map(([, name = '']) => name);
    expect(left).toEqual(expect.arrayContaining(['sharp', 'imapflow', '@simplewebauthn/server']));
    const missing = printed(`const missing = [];
      for (const name of ${JSON.stringify(left)})
        try { import.meta.resolve(name); } catch (fault) { missing.push(name, fault.code); }
      console.log(JSON.stringify(missing));`);
    expect(JSON.parse(missing)).toEqual([]);
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
});
