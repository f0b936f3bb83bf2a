import { describe, expect, test } from 'vitest';
import {
  fillablePostgresql,
  fillableSqlite,
  mayMount,
  stoppablePostgresql,
} from './breakable-databases.ts';
import { retriedWrites } from './retried-writes.ts';

const NOTHING = { stuck: 0, duplicates: 0, lost: 0 };

describe('writes that are repeated under their key until they are acknowledged', () => {
  test('are done once while PostgreSQL is stopped and started', async () => {
    const report = await retriedWrites('postgresql-stopped', stoppablePostgresql(), 3);
    expect(report).toMatchObject(NOTHING);
    expect(report.writes).toBeGreaterThan(10);
    expect(Object.keys(report.refusals)).not.toEqual([]);
  }, 120_000);

  // Filling a disk takes one of its own; where none may be mounted the others still hold the law.
  test.runIf(mayMount)(
    'are done once while the disk of a SQLite file is full',
    async () => {
      const report = await retriedWrites('sqlite-disk-full', fillableSqlite(), 2);
      expect(report).toMatchObject(NOTHING);
      expect(Object.keys(report.refusals)).not.toEqual([]);
    },
    120_000,
  );

  test.runIf(mayMount)(
    'are done once while the disk of PostgreSQL is full',
    async () => {
      const report = await retriedWrites('postgresql-disk-full', fillablePostgresql(), 2);
      expect(report).toMatchObject(NOTHING);
      expect(Object.keys(report.refusals)).not.toEqual([]);
    },
    120_000,
  );
});
