import { expect, it } from 'vitest';
import { clockJumps, JUMPS_GOALS } from './clock-jumps.ts';

it.each(['sqlite', 'postgresql'] as const)(
  'rounds by a clock that jumps leave the letters of the demo as they were (%s)',
  async (dialect) => {
    const jumps = [
      { day: 0, by: 400 },
      { day: 1, by: -400 },
      { day: 2, by: 30 },
    ];
    const report = await clockJumps(dialect, 8, jumps);
    expect(report).toMatchObject(Object.fromEntries(JUMPS_GOALS.map((name) => [name, 0])));
    expect(report.letters).toBeGreaterThan(20);
  },
  300_000,
);
