import { randomUUID } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import { afterAll, describe, inject } from 'vitest';
import { freshSqlite } from './fresh-sqlite.ts';
import type { Workshop } from './workshop.ts';
import { openWorkshop } from './workshop.ts';

/** Fresh databases of one kind, up to date and empty. */
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
      return freshSqlite(folder);
    };
    suite({ dialect: 'sqlite', fresh, open: async (now) => openWorkshop(now, await fresh()) });
  });
  describe(`${name} (PostgreSQL)`, () => {
    const fresh = postgresqlDatabases();
    suite({ dialect: 'postgresql', fresh, open: async (now) => openWorkshop(now, await fresh()) });
  });
}

/** For a block of tests: makes databases on the run's PostgreSQL, which are dropped after the block. */
export function postgresqlDatabases(): () => Promise<string> {
  const made: string[] = [];
  afterAll(async () => {
    await administer(made.map((name) => `DROP DATABASE "${name}" WITH (FORCE)`));
  });
  return async () => {
    const url = new URL(inject('databaseTemplates').postgresqlUrl);
    const name = `records_${randomUUID()}`;
    made.push(name);
    await administer([`CREATE DATABASE "${name}" TEMPLATE "${url.pathname.slice(1)}"`]);
    url.pathname = name;
    return url.href;
  };
}

async function administer(statements: readonly string[]): Promise<void> {
  if (statements.length === 0) return;
  const url = new URL(inject('databaseTemplates').postgresqlUrl);
  url.pathname = 'postgres';
  const client = new pg.Client({ connectionString: url.href });
  await client.connect();
  try {
    for (const statement of statements) await client.query(statement);
  } finally {
    await client.end();
  }
}
