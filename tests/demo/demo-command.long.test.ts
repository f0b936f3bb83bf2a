import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { buildApp } from '../../src/app.ts';
import type { Door } from '../../src/cli/door.ts';
import { buildProgram } from '../../src/cli/program.ts';
import { readSettings } from '../../src/config.ts';

const LOADING = 120_000;
let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'foldkeep-demo-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Runs `foldkeep demo` in the test's folder; `printed` grows while it runs. */
function demo(
  args: readonly string[],
  port = 0,
): { printed: () => string; ended: Promise<unknown> } {
  const words: string[] = [];
  const print = vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    words.push(String(text));
    return true;
  });
  const settings = readSettings({
    PORT: String(port),
    DATABASE_URL: `file:${join(folder, 'demo.db')}`,
    MAIL_TRAY: join(folder, 'tray'),
    LOG_LEVEL: 'silent',
  });
  const door: Partial<Door> = {
    openServer: async () => ({
      ...(await buildApp(settings, { now: () => '2026-07-15T12:00:00.000Z' })),
      databaseUrl: settings.databaseUrl,
      mailTray: settings.mailTray,
    }),
  };
  // The demo uses nothing else of the door.
  const program = buildProgram(door as Door);
  const ended = program.parseAsync(['node', 'foldkeep', 'demo', ...args]);
  return { printed: () => words.join(''), ended: ended.finally(() => print.mockRestore()) };
}

describe('foldkeep demo, one run after the other on one database', () => {
  it(
    'loads, writes, delivers into the tray, says where to look and ends',
    async () => {
      const { printed, ended } = demo(['--no-serve']);
      await ended;
      expect(printed()).toMatch(/Loaded into file:.*demo\.db in [\d.]+ s: 3 organisations/);
      const written = Number(/(\d+) letters are written/.exec(printed())?.[1]);
      const messages = readdirSync(join(folder, 'tray')).filter((name) => name.endsWith('.eml'));
      expect(messages).toHaveLength(written);
      expect(printed()).toContain('folded-over');
      expect(printed()).toContain('npm start');
    },
    LOADING,
  );

  it(
    'serves with keys that open, and does not load twice',
    async () => {
      const { printed, ended } = demo(['--stop-after', '4']);
      await vi.waitFor(() => expect(printed()).toContain('Serving'), { timeout: 60_000 });
      expect(printed()).toContain('was not loaded again');
      const [, key = '', url = ''] = /curl -H '(?:.*) (\S+)' '(\S+)'/.exec(printed()) ?? [];
      const answer = await fetch(url, { headers: { authorization: `Bearer ${key}` } });
      expect(answer.status).toBe(200);
      expect(((await answer.json()) as { items: unknown[] }).items.length).toBeGreaterThan(5);
      await ended;
      await expect(fetch(url)).rejects.toThrow('fetch failed');
    },
    LOADING,
  );

  it(
    'says what to do when its port is taken',
    async () => {
      const other = createServer();
      await new Promise<void>((resolve) => other.listen(0, '127.0.0.1', resolve));
      const { port } = other.address() as AddressInfo;
      await expect(demo([], port).ended).rejects.toThrow(
        `Another program listens at http://127.0.0.1:${port}. Stop it, or take another port: PORT=8621 npm run demo`,
      );
      await new Promise((resolve) => other.close(resolve));
    },
    LOADING,
  );
});
