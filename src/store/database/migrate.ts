import { createHash, randomUUID } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import type { Sql } from './sql.ts';

/** Thrown when the database does not fit the program; the message says what to do. */
export class MigrationRefused extends Error {}

/** Which migrations a database has been through, and which the next start would apply. */
export interface MigrationState {
  readonly applied: string[];
  readonly pending: string[];
}

/** Reads how far a database has come, changing nothing. Refuses what `migrate` would refuse. */
export async function migrationState(sql: Sql): Promise<MigrationState> {
  const steps = stepsFor(sql.dialect);
  const done = await stepsDone(sql);
  refuseUnfit(steps, done);
  const applied = done.map((row) => row.migration_name).sort();
  return {
    applied,
    pending: steps.map((step) => step.name).filter((name) => !applied.includes(name)),
  };
}

interface Step {
  readonly name: string;
  readonly script: string;
  readonly checksum: string;
}

/**
 * Applies the migrations that the database lacks, in order, and records them in Prisma's own table.
 * Call it under a lock. Refuses a database that is newer than the program, a migration whose text
 * was changed after it was applied, and one that was left half done.
 */
export async function migrate(sql: Sql, execute: (script: string) => unknown): Promise<string[]> {
  await execute(sql.dialect === 'sqlite' ? SQLITE_TABLE : POSTGRESQL_TABLE);
  const steps = stepsFor(sql.dialect);
  const done = await stepsDone(sql);
  refuseUnfit(steps, done);
  const known = new Set(done.map((row) => row.migration_name));
  const pending = steps.filter((step) => !known.has(step.name));
  for (const step of pending) {
    const now = new Date().toISOString();
    // On PostgreSQL the caller's transaction holds all steps together; SQLite gets one here.
    const begin = sql.dialect === 'sqlite' ? 'BEGIN IMMEDIATE;' : '';
    try {
      await execute(`${begin}\n${step.script}`);
      await sql.run(
        'INSERT INTO "_prisma_migrations" ("id", "checksum", "migration_name", "started_at", "finished_at", "applied_steps_count") VALUES (?, ?, ?, ?, ?, 1)',
        [randomUUID(), step.checksum, step.name, now, now],
      );
      if (begin) await execute('COMMIT');
    } catch (fault) {
      if (begin) await execute('ROLLBACK');
      throw fault;
    }
  }
  return pending.map((step) => step.name);
}

interface DoneStep {
  readonly migration_name: string;
  readonly checksum: string;
  readonly finished_at: unknown;
}

function stepsDone(sql: Sql): Promise<DoneStep[]> {
  return sql.all(
    'SELECT "migration_name", "checksum", "finished_at" FROM "_prisma_migrations" WHERE "rolled_back_at" IS NULL',
  );
}

function refuseUnfit(steps: readonly Step[], done: readonly DoneStep[]): void {
  for (const row of done) {
    const step = steps.find((candidate) => candidate.name === row.migration_name);
    if (step === undefined) {
      throw new MigrationRefused(
        `The database holds migration ${row.migration_name}, which this program does not know: it was written by a newer Foldkeep. Start that version, or restore a backup made before the upgrade.`,
      );
    }
    if (row.finished_at === null) {
      throw new MigrationRefused(
        `Migration ${row.migration_name} was begun and never finished. Restore a backup.`,
      );
    }
    if (step.checksum !== row.checksum) {
      throw new MigrationRefused(
        `Migration ${row.migration_name} was applied with another text than this program carries. Use the program that made the database, or restore a backup.`,
      );
    }
  }
}

function stepsFor(dialect: Sql['dialect']): Step[] {
  const folder = new URL(`../../../prisma/migrations/${dialect}/`, import.meta.url);
  return readdirSync(folder)
    .sort()
    .map((name) => {
      const script = readFileSync(new URL(`${name}/migration.sql`, folder), 'utf8');
      return { name, script, checksum: createHash('sha256').update(script).digest('hex') };
    });
}

const SQLITE_TABLE = `CREATE TABLE IF NOT EXISTS "_prisma_migrations" (
  "id" TEXT PRIMARY KEY NOT NULL, "checksum" TEXT NOT NULL, "finished_at" DATETIME,
  "migration_name" TEXT NOT NULL, "logs" TEXT, "rolled_back_at" DATETIME,
  "started_at" DATETIME NOT NULL DEFAULT current_timestamp,
  "applied_steps_count" INTEGER UNSIGNED NOT NULL DEFAULT 0)`;

const POSTGRESQL_TABLE = `CREATE TABLE IF NOT EXISTS "_prisma_migrations" (
  "id" VARCHAR(36) PRIMARY KEY NOT NULL, "checksum" VARCHAR(64) NOT NULL, "finished_at" TIMESTAMPTZ,
  "migration_name" VARCHAR(255) NOT NULL, "logs" TEXT, "rolled_back_at" TIMESTAMPTZ,
  "started_at" TIMESTAMPTZ NOT NULL DEFAULT now(), "applied_steps_count" INTEGER NOT NULL DEFAULT 0)`;
