import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe } from 'vitest';
import { startPostgresql } from '../../prisma/embedded-postgresql.mjs';
import type { Workshop } from './workshop.ts';
import { openWorkshop } from './workshop.ts';

/** Fresh, empty databases of one kind. */
export interface Databases {
  readonly dialect: 'sqlite' | 'postgresql';
  /** The DATABASE_URL of a new database, which is gone after the suite. */
  fresh(): Promise<string>;
  /** A workshop over a new database. */
  open(now: string): Promise<Workshop>;
}

/** Describes the same suite for SQLite files and for a real PostgreSQL server on loopback. */
export function eachDatabase(name: string, suite: (databases: Databases) => void): void {
  describe(`${name} (SQLite)`, () => {
    const folders: string[] = [];
    afterAll(() => {
      for (const folder of folders) rmSync(folder, { recursive: true, force: true });
    });
    const fresh = async () => {
      const folder = mkdtempSync(join(tmpdir(), 'foldkeep-db-'));
      folders.push(folder);
      return `file:${join(folder, 'records.db')}`;
    };
    suite({ dialect: 'sqlite', fresh, open: async (now) => openWorkshop(now, await fresh()) });
  });
  describe(`${name} (PostgreSQL)`, () => {
    let server: Awaited<ReturnType<typeof startPostgresql>>;
    let made = 0;
    beforeAll(async () => {
      server = await startPostgresql();
    });
    afterAll(() => server.stop());
    const fresh = () => server.url(`records_${++made}`);
    suite({ dialect: 'postgresql', fresh, open: async (now) => openWorkshop(now, await fresh()) });
  });
}
