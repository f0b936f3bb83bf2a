import { execFile } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { readSettings, SettingsRefused } from '../../src/config.ts';
import { DELIVERY_DEFAULTS } from '../../src/domain/letters/delivery-figures.ts';

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

  it('names every setting that is wrong at once', () => {
    const wrong = {
      PORT: '0x10',
      DELIVERY_CRON: '* * 31 2 *',
      ROUND_CRON: 'soon',
      MAIL_BURST: '1e3',
      MAIL_PARALLEL: '0',
      MAIL_RETRY_MINUTES: '1,5',
    };
    const names = Object.keys(wrong).map((name) => `- ${name} `);
    const refusal = (() => {
      try {
        return readSettings(wrong);
      } catch (fault) {
        return fault;
      }
    })();
    expect(refusal).toBeInstanceOf(SettingsRefused);
    expect(names.filter((name) => !String(refusal).includes(name))).toEqual([]);
  });
});

it('the settings change how letters are tried, and leave the rest as it is', () => {
  const { deliveryFigures } = readSettings({
    MAIL_RETRY_MINUTES: '2,4,8,16,32,64',
    MAIL_GIVE_UP_HOURS: '24',
    MAIL_PARALLEL: '3',
  });
  expect(deliveryFigures).toEqual({
    ...DELIVERY_DEFAULTS,
    wait1: 2,
    wait2: 4,
    wait3: 8,
    wait4: 16,
    wait5: 32,
    wait6: 64,
    giveUpHours: 24,
    parallel: 3,
  });
  expect(readSettings({}).deliveryFigures).toEqual(DELIVERY_DEFAULTS);
});
