import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe } from 'vitest';
import { startPostgresql } from '../../prisma/embedded-postgresql.mjs';

/** Addresses of fresh, empty databases of one kind. */
export interface Databases {
  readonly dialect: 'sqlite' | 'postgresql';
  /** The DATABASE_URL of a new database, which is gone after the suite. */
  fresh(): Promise<string>;
}

/** Describes the same suite for SQLite files and for a real PostgreSQL server on loopback. */
export function eachDatabase(name: string, suite: (databases: Databases) => void): void {
  describe(`${name} (SQLite)`, () => {
    const folders: string[] = [];
    afterAll(() => {
      for (const folder of folders) rmSync(folder, { recursive: true, force: true });
    });
    suite({
      dialect: 'sqlite',
      async fresh() {
        const folder = mkdtempSync(join(tmpdir(), 'foldkeep-db-'));
        folders.push(folder);
        return `file:${join(folder, 'records.db')}`;
      },
    });
  });
  describe(`${name} (PostgreSQL)`, () => {
    let server: Awaited<ReturnType<typeof startPostgresql>>;
    let made = 0;
    beforeAll(async () => {
      server = await startPostgresql();
    });
    afterAll(() => server.stop());
    suite({ dialect: 'postgresql', fresh: () => server.url(`records_${++made}`) });
  });
}
