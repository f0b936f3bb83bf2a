import { execFile } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';

const MAIN = fileURLToPath(new URL('../../src/main.ts', import.meta.url));
let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'foldkeep-start-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** Starts the server with these settings and waits for its end. */
function serve(env: Record<string, string>): Promise<{ code: number; err: string }> {
  return new Promise((resolve) => {
    execFile(
      process.execPath,
      ['--import', import.meta.resolve('tsx'), MAIN, 'serve'],
      { cwd: folder, env: { PATH: process.env['PATH'], LOG_LEVEL: 'silent', ...env } },
      (fault, _, err) => resolve({ code: Number(fault?.code ?? 0), err }),
    );
  });
}

describe('a start that cannot be', () => {
  it('ends for a schedule that names no time, with nothing opened', async () => {
    const { code, err } = await serve({ ROUND_CRON: '99 * * * *', PORT: '0' });
    expect(code).toBe(1);
    expect(err).toContain('ROUND_CRON must be five or six cron fields that name a time');
    expect(readdirSync(folder)).toEqual([]);
  });

  it('ends where another program listens, and lets go of the database', async () => {
    const taken = createServer();
    await new Promise<void>((done) => taken.listen(0, '127.0.0.1', done));
    const address = taken.address();
    const port = typeof address === 'object' ? String(address?.port) : '';
    const first = await serve({ PORT: port });
    const second = await serve({ PORT: port });
    taken.close();
    for (const { code, err } of [first, second]) {
      expect(code).toBe(1);
      expect(err.trim()).toBe(
        'Another program listens there already. Stop it, or take another port: PORT=8621',
      );
    }
  });
});
