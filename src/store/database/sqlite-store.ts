import { existsSync, mkdirSync } from 'node:fs';
import { dirname } from 'node:path';
import type BetterSqlite3 from 'better-sqlite3';
import { PrismaBetterSqlite3 } from '@prisma/adapter-better-sqlite3';
import { PrismaClient } from '../generated/sqlite/client.ts';
import { probeFile, probeTables, refuseCutOff } from '../files/file-health.ts';
import { holdFile, makePrivate, onePath } from '../files/file-lock.ts';
import type { SyncedFile } from '../files/shared-sync.ts';
import { SharedSync, syncedFile } from '../files/shared-sync.ts';
import { forgetKept, forgetOnChange } from './kept-triggers.ts';
import { KnownTexts } from './known-texts.ts';
import { migrate } from './migrate.ts';
import { type Pen, penInHand } from './pen.ts';
import type { AdapterClient } from './prepared-for-prisma.ts';
import { preparedForPrisma } from './prepared-for-prisma.ts';
import { withTogether } from './joined-store.ts';
import type { Sql, SqlCarried } from './sql.ts';
import type { Store } from './store.ts';
import { SharedCommits } from './shared-commits.ts';
import { leaveTrail } from './trail-sqlite.ts';
import { PRIVATE_FOLDER } from '../files/whole-file.ts';
import { tellingOf, told } from '../watch/statements.ts';

const BUSY_MS = 10_000;
const TRANSACTION_MS = 120_000;

/**
 * Opens (and creates) a SQLite file, brings it up to date and holds it for this process alone.
 * Two connections: one writer under a queue, one reader that sees only committed data, because the
 * driver adapter would otherwise run a stray statement inside whatever transaction is open.
 */
export async function openSqlite(named: string): Promise<Store> {
  const file = named === ':memory:' ? named : onePath(named);
  mkdirSync(dirname(file), { recursive: true, mode: PRIVATE_FOLDER });
  const release = holdFile(file);
  const opened: Connection[] = [];
  try {
    refuseCutOff(file);
    if (file !== ':memory:') for (const each of filesOf(file)) makePrivate(each);
    const writer = await connect(file);
    opened.push(writer);
    const reader = await connect(file);
    opened.push(reader);
    await migrate(sqlOf(writer.handle), (script) => writer.handle.exec(script));
    // Behind the migrations, which may work through whole tables at once, and before the triggers: it
    // forgets what is temporary.
    for (const { handle } of opened) handle.pragma('temp_store = MEMORY');
    forgetOnChange(writer.handle);
    await forgetKept(sqlOf(writer.handle));
    reader.handle.pragma('query_only = ON');
    probeTables(reader.handle);
    return storeOf(file, writer, reader, release);
  } catch (fault) {
    for (const connection of opened) await disconnect(connection);
    release();
    throw fault;
  }
}

/** The file, which is made where it is not there, and the logs that an earlier process left. */
function filesOf(file: string): string[] {
  const logs = [`${file}-wal`, `${file}-shm`];
  return [file, ...logs.filter((log) => existsSync(log))];
}

async function disconnect(connection: Connection): Promise<void> {
  await connection.taken()?.$disconnect();
  if (connection.handle.open) connection.handle.close();
}

interface Connection {
  readonly handle: BetterSqlite3.Database;
  readonly prisma: PrismaClient;
  /** The client, where it was asked for. */
  taken(): PrismaClient | null;
}

/** Prisma takes the connection over at its first record: making it and its engine costs a start much. */
async function connect(file: string): Promise<Connection> {
  const inner = new PrismaBetterSqlite3({ url: file, timeout: BUSY_MS });
  const connection = tellingOf('sqlite', await inner.connect());
  const driven = connection as unknown as { client: BetterSqlite3.Database | AdapterClient };
  const handle = driven.client as BetterSqlite3.Database;
  driven.client = preparedForPrisma(handle);
  for (const pragma of PRAGMAS) handle.pragma(pragma);
  // Prisma's transactions are parts of ours, which begins before them and ends after.
  connection.startTransaction = async () => ({
    provider: connection.provider,
    adapterName: connection.adapterName,
    options: { usePhantomQuery: true },
    queryRaw: (query) => connection.queryRaw(query),
    executeRaw: (query) => connection.executeRaw(query),
    commit: async () => undefined,
    rollback: async () => undefined,
  });
  const adapter = {
    provider: connection.provider,
    adapterName: inner.adapterName,
    connect: () => Promise.resolve(connection),
    connectToShadowDb: () => inner.connectToShadowDb(),
  };
  let client: PrismaClient | null = null;
  return {
    handle,
    get prisma() {
      return (client ??= new PrismaClient({ adapter }));
    },
    taken: () => client,
  };
}

const PRAGMAS = [
  'journal_mode = WAL',
  'synchronous = FULL',
  'foreign_keys = ON',
  `busy_timeout = ${BUSY_MS}`,
  'cache_size = -65536',
  // 16 MB: the pages that a delivery writes again and again are copied back once.
  'wal_autocheckpoint = 4000',
];

function storeOf(file: string, writer: Connection, reader: Connection, release: () => void): Store {
  const log = new SharedSync(file === ':memory:' ? NO_FILE : syncedFile(`${file}-wal`));
  const commits = new SharedCommits(writer.handle, log);
  const writerSql = sqlOf(writer.handle);
  let pen: Pen | null = penInHand();
  leaveTrail(writer.handle, () => pen);
  /** One writes at a time, so the connection's triggers are told whose turn it is. */
  const underPen = <T>(work: () => Promise<T>): (() => Promise<T>) => {
    const held = penInHand();
    return () => {
      pen = held;
      return work();
    };
  };
  return withTogether({
    dialect: 'sqlite',
    get records() {
      return reader.prisma;
    },
    sql: sqlOf(reader.handle),
    write: (work) =>
      commits.share(
        underPen(() =>
          writer.prisma.$transaction((records) => work({ records, sql: writerSql }), {
            timeout: TRANSACTION_MS,
            maxWait: TRANSACTION_MS,
          }),
        ),
      ),
    writeSql: (work) => commits.share(underPen(() => work(writerSql))),
    backupTo: (target) =>
      commits.alone(async () => {
        writer.handle.prepare('VACUUM INTO ?').run(target);
      }),
    probe: async () => probeFile(file),
    close: () =>
      commits.alone(async () => {
        await log.close();
        await disconnect(reader);
        await disconnect(writer);
        release();
      }),
  });
}

const NO_FILE: SyncedFile = { sync: async () => undefined, close: () => undefined };

/** SQL through one connection to a SQLite file. */
export function sqlOf(handle: BetterSqlite3.Database): Sql {
  const prepared = new KnownTexts((text) => preparedOn(handle, text));
  return {
    dialect: 'sqlite',
    async all<Row>(text: string, values: readonly SqlCarried[] = []) {
      return told('sqlite', text, () => {
        const { statement, columns } = prepared.of(text);
        const rows = statement.all(values.map(bound)) as unknown[][];
        return rows.map((row) => recordOf(columns, row)) as Row[];
      });
    },
    async run(text: string, values: readonly SqlCarried[] = []) {
      return told('sqlite', text, () => prepared.of(text).statement.run(values.map(bound)).changes);
    },
  };
}

interface Prepared {
  readonly statement: BetterSqlite3.Statement;
  /** Of its rows, in their order; the schema stands once a store is open. */
  readonly columns: readonly string[];
}

/**
 * Rows come as bare values and get their names here: of 18 pivots with six columns the driver makes its own
 * records in 34 µs, and bare values that are named here take 21 µs.
 */
function preparedOn(handle: BetterSqlite3.Database, text: string): Prepared {
  const statement = handle.prepare(text).safeIntegers(false);
  if (!statement.reader) return { statement, columns: [] };
  return { statement: statement.raw(), columns: statement.columns().map(({ name }) => name) };
}

function recordOf(columns: readonly string[], values: readonly unknown[]): Record<string, unknown> {
  const record: Record<string, unknown> = {};
  columns.forEach((column, place) => {
    record[column] = values[place];
  });
  return record;
}

function bound(value: SqlCarried): string | number | null {
  if (typeof value === 'boolean') return Number(value);
  return value === null || typeof value !== 'object' ? value : JSON.stringify(value);
}

/** The file behind `file:data/foldkeep.db`. */
export function sqliteFileOf(databaseUrl: string): string {
  return databaseUrl.replace(/^file:/, '');
}
