import { execFile } from 'node:child_process';
import { createHash } from 'node:crypto';
import { copyFileSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import pg from 'pg';
import { startPostgresql } from '../../prisma/embedded-postgresql.mjs';
import { migrate, MigrationRefused } from '../../src/store/database/migrate.ts';
import { openStore } from '../../src/store/database/open-store.ts';
import type { Sql, SqlCarried, SqlValue } from '../../src/store/database/sql.ts';
import { insertRows } from '../../src/store/database/sql.ts';
import { sqlOf } from '../../src/store/database/sqlite-store.ts';
import { DatabaseUnusable } from '../../src/store/database/unusable.ts';
import { loadScenario } from '../../src/usecases/scenario/load-scenario.ts';
import { wholeLetters } from '../setup/stored-letters.ts';

export interface MigrationsReport {
  readonly name: string;
  /** Statements of an upgrade from the first migration to the last, and of a first start. */
  readonly statements: number;
  readonly kills: number;
  /** Starts after a kill that finished what was begun. */
  readonly finished: number;
  /** Starts that said in plain words what to do. */
  readonly refused: number;
  /** Starts that failed with anything else. The goal is 0. */
  readonly crude: number;
  /** Databases that are not what an upgrade without a kill makes of the same rows. The goal is 0. */
  readonly lost: number;
  /** Rows that each of them was to keep. */
  readonly rows: number;
  readonly differing: readonly string[];
  readonly seconds: number;
}

/** What has to be nothing. */
export const MIGRATIONS_GOALS = ['crude', 'lost'] as const;

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const CHILD = fileURLToPath(new URL('./migrating-child.mjs', import.meta.url));

/**
 * Kills the process that brings a database up to date before each of its statements (or before each
 * `every`th), starts once more and compares every table with what an upgrade without a kill comes to: the
 * demo's records as the first migration could hold them, and a database that is begun from nothing. No new
 * kill begins after `maxSeconds`.
 */
export async function killedMigrations(
  dialect: 'sqlite' | 'postgresql',
  { every = 1, maxSeconds = 600 }: { every?: number; maxSeconds?: number } = {},
): Promise<MigrationsReport> {
  const begun = Date.now();
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-migrations-'));
  const place = dialect === 'sqlite' ? sqliteIn(folder) : await postgresqlIn(folder);
  let kills = 0;
  let finished = 0;
  let refused = 0;
  const crude: string[] = [];
  const lost: string[] = [];
  let statements = 0;
  let rows = 0;
  try {
    const said = await fillOld(place);
    for (const from of ['old', 'nothing'] as const) {
      const sound = await place.copyOf(from, 'sound');
      const last = Number(await migrated(sound, 0));
      statements += last;
      const wanted = await contentsOf(sound);
      if (from === 'old' && wanted.said !== said) lost.push('what letters say, on the way');
      rows = Math.max(rows, wanted.rows);
      await place.drop('sound');
      // What a first start does after its tables are there was tried with records in them.
      const end = from === 'old' ? last : Math.ceil(last / 3);
      for (let at = 1; at <= end; at += every) {
        if (Date.now() - begun > maxSeconds * 1_000) break;
        const url = await place.copyOf(from, 'killed');
        if ((await migrated(url, at)) !== null) throw new Error(`nothing was killed at ${at}`);
        kills++;
        const fault = await startFault(url);
        if (fault === null) {
          finished++;
          const { digest } = await contentsOf(url);
          if (digest !== wanted.digest) lost.push(`${from} killed before statement ${at}`);
        } else if (fault instanceof MigrationRefused || fault instanceof DatabaseUnusable) {
          refused++;
        } else {
          crude.push(
            `${from} killed before statement ${at}: ${fault instanceof Error ? fault.message : 'no error'}`,
          );
        }
        await place.drop('killed');
      }
    }
    return {
      name: `killed-migrations-${dialect}`,
      statements,
      kills,
      finished,
      refused,
      crude: crude.length,
      lost: lost.length,
      rows,
      differing: [...crude, ...lost].slice(0, 6),
      seconds: Math.round((Date.now() - begun) / 1_000),
    };
  } finally {
    await place.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Where databases are made, copied and dropped by their names. */
interface Place {
  readonly dialect: Sql['dialect'];
  url(name: string): Promise<string>;
  copyOf(name: string, copy: string): Promise<string>;
  drop(name: string): Promise<void>;
  /** Works with a database that need not be up to date. */
  in<T>(
    name: string,
    work: (sql: Sql, execute: (script: string) => Promise<void>) => Promise<T>,
  ): Promise<T>;
  close(): Promise<void>;
}

function sqliteIn(folder: string): Place {
  const file = (name: string) => join(folder, `${name}.db`);
  return {
    dialect: 'sqlite',
    url: async (name) => `file:${file(name)}`,
    copyOf: async (name, copy) => {
      if (name !== 'nothing') copyFileSync(file(name), file(copy));
      return `file:${file(copy)}`;
    },
    drop: async (name) => {
      for (const end of ['', '-wal', '-shm', '.lock']) rmSync(file(name) + end, { force: true });
    },
    in: async (name, work) => {
      const handle = new Database(file(name));
      handle.pragma('foreign_keys = OFF');
      try {
        return await work(sqlOf(handle), async (script) => {
          handle.exec(script);
        });
      } finally {
        handle.close();
      }
    },
    close: async () => undefined,
  };
}

async function postgresqlIn(folder: string): Promise<Place> {
  const server = await startPostgresql(folder);
  const admin = await server.url('admin');
  const urlOf = (name: string) => admin.replace(/admin$/, name);
  const inDatabase = async <T>(url: string, work: (client: pg.Client) => Promise<T>) => {
    const client = new pg.Client({ connectionString: url });
    await client.connect();
    try {
      return await work(client);
    } finally {
      await client.end();
    }
  };
  await server.url('nothing');
  return {
    dialect: 'postgresql',
    url: (name) => server.url(name),
    copyOf: async (name, copy) => {
      await inDatabase(admin, (client) => client.query(`CREATE DATABASE ${copy} TEMPLATE ${name}`));
      return urlOf(copy);
    },
    drop: async (name) => {
      await inDatabase(admin, (client) => client.query(`DROP DATABASE ${name} WITH (FORCE)`));
    },
    in: (name, work) =>
      inDatabase(urlOf(name), async (client) => {
        await client.query('SET session_replication_role = replica');
        return work(sqlThrough(client), async (script) => {
          await client.query(script);
        });
      }),
    close: () => server.stop(),
  };
}

function sqlThrough(client: pg.Client): Sql {
  const asked = (text: string, values: readonly SqlCarried[] = []) => {
    let n = 0;
    return client.query(
      text.replaceAll('?', () => `$${++n}`),
      [...values],
    );
  };
  return {
    dialect: 'postgresql',
    all: async <Row>(text: string, values?: readonly SqlCarried[]) =>
      (await asked(text, values)).rows as Row[],
    run: async (text, values) => (await asked(text, values)).rowCount ?? 0,
  };
}

/**
 * The demo's records in the database `old`, as far as the first migration has places for them. Returns what
 * their letters say, which has moved to a table of its own since.
 */
async function fillOld(place: Place): Promise<string> {
  const store = await openStore(await place.url('new'));
  const now = () => '2026-06-12T09:00:00.000Z';
  await loadScenario({
    store,
    now,
    publicUrl: 'https://care.example.org',
    mailDomain: 'example.org',
  });
  await place.url('old');
  await place.in('old', async (sql, execute) => {
    await throughTheFirst(sql, execute);
    const there = new Set(await tablesOf(store.sql));
    for (const table of await tablesOf(sql)) {
      if (!there.has(table)) continue;
      // What a letter says stood in its own row then.
      const whole = table === 'letter' ? await wholeLetters(store.sql) : null;
      const columns = new Set(await columnsOf(sql, table));
      const rows: Record<string, SqlValue>[] = (
        whole ?? (await store.sql.all<Record<string, SqlValue>>(`SELECT * FROM "${table}"`))
      ).map((row) =>
        Object.fromEntries(Object.entries(row).filter(([column]) => columns.has(column))),
      );
      await insertRows(sql, table, rows);
    }
  });
  const said = await whatLettersSay(store.sql);
  await store.close();
  return said;
}

/** A digest of the words of all letters. */
async function whatLettersSay(sql: Sql): Promise<string> {
  const letters = await wholeLetters(sql);
  const words = letters.map(({ id, text, html, calendar }) => [id, text, html, calendar]);
  return `${letters.length} ${createHash('sha256').update(JSON.stringify(words)).digest('hex')}`;
}

/** Brings an empty database up to the first migration and no further. */
async function throughTheFirst(
  sql: Sql,
  execute: (script: string) => Promise<void>,
): Promise<void> {
  const enough = new Error('enough');
  let scripts = 0;
  const once = async (script: string) => {
    if (!script.includes('CREATE TABLE') || ++scripts <= 2) await execute(script);
    else throw enough;
  };
  // The table of migrations, and the first of them; what takes the next back finds nothing to take back.
  await migrate(sql, once).catch(() => undefined);
  const done = await sql.all('SELECT 1 FROM "_prisma_migrations"');
  if (done.length !== 1) throw new Error(`${done.length} migrations instead of the first`);
}

/** How many statements it took, or null where the process was killed before it was done. */
function migrated(url: string, at: number): Promise<string | null> {
  return new Promise((resolve, reject) => {
    execFile(process.execPath, [CHILD, ROOT, url, String(at)], (fault, stdout, stderr) => {
      if (fault === null) resolve(stdout);
      else if (fault.signal === 'SIGKILL') resolve(null);
      else reject(new Error(stderr));
    });
  });
}

/** Why a start fails; null where it does not. */
async function startFault(url: string): Promise<unknown> {
  try {
    await (await openStore(url)).close();
    return null;
  } catch (fault) {
    return fault;
  }
}

/** Every row of every table, whatever order they come in. */
async function contentsOf(url: string): Promise<{ digest: string; rows: number; said: string }> {
  const store = await openStore(url);
  try {
    const lines: string[] = [];
    for (const table of await tablesOf(store.sql)) {
      for (const row of await store.sql.all<Record<string, unknown>>(`SELECT * FROM "${table}"`)) {
        lines.push(`${table} ${JSON.stringify(row)}`);
      }
      lines.push(`${table}(${(await columnsOf(store.sql, table)).sort().join()})`);
    }
    const digest = createHash('sha256').update(lines.sort().join('\n')).digest('hex');
    return { digest, rows: lines.length, said: await whatLettersSay(store.sql) };
  } finally {
    await store.close();
  }
}

async function tablesOf(sql: Sql): Promise<string[]> {
  const text =
    sql.dialect === 'sqlite'
      ? `SELECT "name" FROM sqlite_master WHERE "type" = 'table' AND "name" NOT LIKE 'sqlite%'`
      : `SELECT table_name AS "name" FROM information_schema.tables WHERE table_schema = current_schema()`;
  const rows = await sql.all<{ name: string }>(text);
  // When each migration was run is another instant in every database.
  return rows.map(({ name }) => name).filter((name) => name !== '_prisma_migrations');
}

async function columnsOf(sql: Sql, table: string): Promise<string[]> {
  const text =
    sql.dialect === 'sqlite'
      ? `SELECT "name" FROM pragma_table_info(?)`
      : `SELECT column_name AS "name" FROM information_schema.columns WHERE table_schema = current_schema() AND table_name = ?`;
  return (await sql.all<{ name: string }>(text, [table])).map(({ name }) => name);
}
