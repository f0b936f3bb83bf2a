import { expect, it } from 'vitest';
import { killedMigrations, MIGRATIONS_GOALS } from './killed-migrations.ts';

it.each(['sqlite', 'postgresql'] as const)(
  'an upgrade on %s that is killed at a statement is finished by the next start, and loses no row',
  async (dialect) => {
    const report = await killedMigrations(dialect, { every: 23 });
    expect(report).toMatchObject(Object.fromEntries(MIGRATIONS_GOALS.map((name) => [name, 0])));
    expect(report.rows).toBeGreaterThan(1_000);
    expect(report.kills).toBeGreaterThan(8);
    expect(report.finished).toBe(report.kills);
  },
  300_000,
);
