import { expect, it } from 'vitest';
import { KILL_SERVER_GOALS, killServer } from './kill-server.ts';

it.each(['sqlite', 'postgresql'] as const)(
  'a server on %s that is killed under writes and delivery loses nothing it acknowledged',
  async (dialect) => {
    const report = await killServer(dialect, 8, { seed: 20_261_130 });
    expect(report).toMatchObject(Object.fromEntries(KILL_SERVER_GOALS.map((name) => [name, 0])));
    expect(report.kills).toBe(8);
    expect(report.letters).toBeGreaterThanOrEqual(240);
    expect(report.writes).toBeGreaterThan(20);
  },
  300_000,
);
