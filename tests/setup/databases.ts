import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, inject } from 'vitest';
import { dropPostgresql, freshPostgresql } from './fresh-postgresql.ts';
import { freshSqlite } from './fresh-sqlite.ts';
import type { Workshop } from './workshop.ts';
import { emptyWorkshop } from './workshop.ts';

/** Fresh databases of one kind, up to date and empty. */
export interface Databases {
  readonly dialect: 'sqlite' | 'postgresql';
  /** The DATABASE_URL of a new database, which is gone after the suite. */
  fresh(): Promise<string>;
  /** A workshop over an empty database. */
  open(now: string): Promise<Workshop>;
}

declare module 'vitest' {
  interface ProvidedContext {
    /** The databases on which this project runs the suites of `eachDatabase`. */
    databasesTried: 'sqlite' | 'postgresql' | 'both';
  }
}

type Suite = (databases: Databases) => void;

/**
 * Describes the same suite for SQLite files and for a real PostgreSQL server on loopback. `npm test` runs
 * it on SQLite alone, the project `postgresql` of `npm run test:long` on PostgreSQL.
 */
export function eachDatabase(name: string, suite: Suite): void {
  const tried = inject('databasesTried');
  if (tried !== 'postgresql') onSqlite(name, suite);
  if (tried !== 'sqlite') onPostgresql(name, suite);
}

/** The same for a suite of what the databases do differently: `npm test` runs it on both. */
export function bothDatabases(name: string, suite: Suite): void {
  onSqlite(name, suite);
  onPostgresql(name, suite);
}

/** Describes a suite for SQLite files alone: a long file of its own has it for PostgreSQL. */
export function onSqlite(name: string, suite: Suite): void {
  describe(`${name} (SQLite)`, () => {
    const folders: string[] = [];
    afterAll(() => {
      for (const folder of folders) rmSync(folder, { recursive: true, force: true });
    });
    const fresh = async () => {
      const folder = mkdtempSync(join(tmpdir(), 'foldkeep-db-'));
      folders.push(folder);
      return freshSqlite(folder);
    };
    suite({ dialect: 'sqlite', fresh, open: (now) => emptyWorkshop(now, 'sqlite') });
  });
}

/** The same for PostgreSQL alone. */
export function onPostgresql(name: string, suite: Suite): void {
  describe(`${name} (PostgreSQL)`, () => {
    const fresh = postgresqlDatabases();
    suite({ dialect: 'postgresql', fresh, open: (now) => emptyWorkshop(now, 'postgresql') });
  });
}

/** For a block of tests: makes databases on the run's PostgreSQL, which are dropped after the block. */
export function postgresqlDatabases(content: 'up-to-date' | 'nothing' = 'up-to-date') {
  const made: string[] = [];
  afterAll(() => dropPostgresql(made));
  return async (): Promise<string> => {
    const url = await freshPostgresql(content);
    made.push(url);
    return url;
  };
}
