import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { FastifyInstance, InjectOptions } from 'fastify';
import { buildServer } from '../../src/http/server.ts';
import { openStore } from '../../src/store/database/open-store.ts';
import { sqliteFileOf } from '../../src/store/database/sqlite-store.ts';
import type { Context } from '../../src/usecases/context/context.ts';
import type { Emptier } from './empty-database.ts';
import { postgresqlEmptier, sqliteEmptier } from './empty-database.ts';
import { dropPostgresql, freshPostgresql } from './fresh-postgresql.ts';
import { begun, freshSqlite } from './fresh-sqlite.ts';
import { neededTemplates } from './templates-in-use.ts';

/** A server over a database, called without a network, with a clock that is set. */
export interface ServedStore {
  readonly context: Context;
  readonly server: FastifyInstance;
  setNow(instant: string): void;
  /** To be called by whoever opened it, at the end. */
  leave(): Promise<void>;
}

/** Opens the database with this address for a server of its own; both are closed when they are left. */
export async function serveStore(databaseUrl: string): Promise<ServedStore> {
  const store = await openStore(begun(databaseUrl));
  let clock = '';
  const context: Context = {
    store,
    now: () => clock,
    publicUrl: 'https://care.example.org',
    mailDomain: 'example.org',
  };
  const server = await buildServer(context, {
    mailTray: null,
    ready: async () => ({ ready: true, parts: { database: 'ok' } }),
    metrics: async () => ({ contentType: 'text/plain', text: '' }),
  });
  return {
    context,
    server,
    setNow: (instant) => {
      clock = instant;
    },
    leave: async () => {
      await server.close();
      await store.close();
    },
  };
}

type Dialect = Context['store']['dialect'];

interface Kept {
  readonly served: ServedStore;
  readonly emptier: Emptier;
  removeDatabase(): Promise<void>;
}

// More are seldom open at once.
const MOST_FREE = 3;
const free: Record<Dialect, Kept[]> = { sqlite: [], postgresql: [] };
const ADDRESSES = 250;
let takings = 0;

/**
 * A server over an empty database. Opening connections and building routes is most of what a small
 * test costs: what was left is emptied to the last row and handed to whoever asks next. One that
 * cannot be told from a new one no longer (another schema, a closed store, a port) is closed.
 * The server counts wrong keys and links by address: whoever has it calls from another one.
 */
export async function takeServedStore(dialect: Dialect): Promise<ServedStore> {
  const kept = free[dialect].pop() ?? (await serveNew(dialect));
  const { server } = kept.served;
  const { inject } = server;
  const remoteAddress = `127.0.0.${1 + (takings++ % ADDRESSES)}`;
  const fromThere = (asked: InjectOptions | string) =>
    inject({ remoteAddress, ...(typeof asked === 'string' ? { url: asked } : asked) });
  server.inject = fromThere as typeof inject;
  let left = false;
  return {
    ...kept.served,
    leave: async () => {
      if (left) return;
      left = true;
      server.inject = inject;
      if (free[dialect].length < MOST_FREE && (await isAsNew(kept))) free[dialect].push(kept);
      else await close(kept);
    },
  };
}

async function serveNew(dialect: Dialect): Promise<Kept> {
  if (dialect === 'postgresql') {
    const url = await freshPostgresql();
    const emptier = await postgresqlEmptier(url);
    return { served: await serveStore(url), emptier, removeDatabase: () => dropPostgresql([url]) };
  }
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-kept-'));
  const url = freshSqlite(folder);
  const served = await serveStore(url);
  return {
    served,
    emptier: sqliteEmptier(sqliteFileOf(url), neededTemplates().sqliteFile),
    removeDatabase: async () => rmSync(folder, { recursive: true, force: true }),
  };
}

/** Whether it could be emptied, and still answers. */
async function isAsNew({ served, emptier }: Kept): Promise<boolean> {
  const { context, server } = served;
  if (server.server.listening) return false;
  try {
    if (!(await emptier.empty())) return false;
    await context.store.sql.all('SELECT 1 AS "alive"');
    return (await server.inject('/healthz')).statusCode === 200;
  } catch {
    return false;
  }
}

async function close({ served, emptier, removeDatabase }: Kept): Promise<void> {
  await emptier.end();
  await served.leave();
  await removeDatabase();
}
