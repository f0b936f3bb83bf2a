import { expect, it } from 'vitest';
import { BACKUP_GOALS, backupUnderWrites } from './backup-under-writes.ts';

it.each(['sqlite', 'postgresql'] as const)(
  'a copy that is made under writes is what its trail tells, up to one moment (%s)',
  async (dialect) => {
    const report = await backupUnderWrites(dialect, 5);
    expect(report).toMatchObject(Object.fromEntries(BACKUP_GOALS.map((name) => [name, 0])));
    expect(report.underWrites).toBeGreaterThan(0);
    expect(report.writes).toBeGreaterThan(20);
  },
  120_000,
);
