import pg from 'pg';
import { PrismaPg } from '@prisma/adapter-pg';
import { PrismaClient } from '../generated/postgresql/client.ts';
import type { PrismaClient as SqliteClient } from '../generated/sqlite/client.ts';
import { withTogether } from './joined-store.ts';
import { KnownTexts } from './known-texts.ts';
import { migrate } from './migrate.ts';
import { penInHand, SERVER } from './pen.ts';
import type { Sql, SqlCarried } from './sql.ts';
import { asPostgresql } from './sql.ts';
import type { Records, Store } from './store.ts';
import { forgetKept, forgetOnEveryChange } from './kept-triggers.ts';
import { leaveTrail, takePen } from './trail-postgresql.ts';
import { tellingOf, told } from '../watch/statements.ts';

const TRANSACTION_MS = 120_000;

/** Opens a PostgreSQL database and brings it up to date under a lock that all processes share. */
export async function openPostgresql(url: string): Promise<Store> {
  const pool = new pg.Pool({ connectionString: url, max: 10, options: '-c timezone=UTC' });
  hearLostLines(pool);
  // Made at its first record: it and its engine cost a start much.
  let client: PrismaClient | null = null;
  const prisma = () => (client ??= new PrismaClient({ adapter: tellingAdapter(pool) }));
  try {
    await inTransaction(pool, async (connection) => {
      const sql = sqlOf(connection);
      const execute = (script: string) => connection.query(script);
      await connection.query('SELECT pg_advisory_xact_lock($1)', [MIGRATION_LOCK]);
      await migrate(sql, execute);
      await leaveTrail(sql, execute);
      await forgetOnEveryChange(sql, execute);
      await forgetKept(sql);
    });
  } catch (fault) {
    await pool.end();
    throw fault;
  }
  return withTogether({
    dialect: 'postgresql',
    get records() {
      return prisma() as unknown as SqliteClient;
    },
    sql: sqlOf(pool),
    write: (work) =>
      prisma().$transaction(
        async (tx) => {
          const inside = tx as unknown as Records;
          const sql = sqlThrough(inside);
          await penFor(sql);
          return work({ records: inside, sql });
        },
        { timeout: TRANSACTION_MS, maxWait: TRANSACTION_MS },
      ),
    writeSql: (work) =>
      inTransaction(pool, async (connection) => {
        const sql = sqlOf(connection);
        await penFor(sql);
        return work(sql);
      }),
    backupTo: () =>
      Promise.reject(
        new Error('On PostgreSQL use pg_dump: the backup command copies SQLite files.'),
      ),
    probe: async () => {
      await pool.query('SELECT 1');
    },
    close: async () => {
      if (pool.ending) return;
      await client?.$disconnect();
      await pool.end();
    },
  });
}

/**
 * A connection that is lost fails whatever is asked of it next, and is then replaced. It also tells of its
 * loss by an event, which ends the process where nobody hears it: the pool hears it of those that lie idle,
 * and whoever took one only a moment later, while the loss can come in the same packet as the last answer.
 */
function hearLostLines(pool: pg.Pool): void {
  pool.on('error', () => undefined);
  pool.on('connect', (client) => client.on('error', () => undefined));
}

function tellingAdapter(pool: pg.Pool): PrismaPg {
  const adapter = new PrismaPg(pool);
  const connect = adapter.connect.bind(adapter);
  adapter.connect = async () => tellingOf('postgresql', await connect());
  return adapter;
}

const MIGRATION_LOCK = 8_620_001;

/** What the server does by itself is noted without being told, and costs no question more. */
async function penFor(sql: Sql): Promise<void> {
  const pen = penInHand();
  if (pen !== SERVER) await takePen(sql, pen);
}

async function inTransaction<T>(
  pool: pg.Pool,
  work: (client: pg.PoolClient) => Promise<T>,
): Promise<T> {
  const client = await pool.connect();
  let broken = false;
  try {
    await client.query('BEGIN');
    const result = await work(client);
    await client.query('COMMIT');
    return result;
  } catch (fault) {
    await client.query('ROLLBACK').catch(() => {
      broken = true;
    });
    throw fault;
  } finally {
    client.release(broken);
  }
}

function sqlOf(client: pg.Pool | pg.PoolClient): Sql {
  return {
    dialect: 'postgresql',
    async all<Row>(text: string, values: readonly SqlCarried[] = []) {
      const ask = async () => client.query(texts.of(text), [...values]);
      return (await told('postgresql', text, ask)).rows.map(plain) as Row[];
    },
    async run(text: string, values: readonly SqlCarried[] = []) {
      const ask = async () => client.query(texts.of(text), [...values]);
      return (await told('postgresql', text, ask)).rowCount ?? 0;
    },
  };
}

function sqlThrough(records: Records): Sql {
  return {
    dialect: 'postgresql',
    async all<Row>(text: string, values: readonly SqlCarried[] = []) {
      const rows = await records.$queryRawUnsafe<Record<string, unknown>[]>(
        texts.of(text),
        ...values,
      );
      return rows.map(plain) as Row[];
    },
    run: (text: string, values: readonly SqlCarried[] = []) =>
      records.$executeRawUnsafe(texts.of(text), ...values),
  };
}

const texts = new KnownTexts(asPostgresql);

// Counts and sums come as text or bigint; every one of ours is far below 2^53.
function plain(row: Record<string, unknown>): Record<string, unknown> {
  for (const [column, value] of Object.entries(row)) {
    if (typeof value === 'bigint') row[column] = Number(value);
  }
  return row;
}

pg.types.setTypeParser(pg.types.builtins.INT8, Number);
