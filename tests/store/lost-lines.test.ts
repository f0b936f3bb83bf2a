import { once } from 'node:events';
import type { AddressInfo, Socket } from 'node:net';
import { connect, createServer } from 'node:net';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openStore } from '../../src/store/database/open-store.ts';
import { outageOf } from '../../src/store/database/outage.ts';
import type { Store } from '../../src/store/database/store.ts';
import { postgresqlDatabases } from '../setup/databases.ts';

/** A wire to a PostgreSQL server that can be cut, or made to carry more than the server said. */
interface Wire {
  readonly url: string;
  /** Cuts every line as a machine that loses its power does: with a reset, and nothing said. */
  cut: () => void;
  /** Sent behind the next answer, in one packet with it, to a line that was opened since. */
  behind: Buffer | null;
  close: () => Promise<void>;
}

// Protocol 3.0 (PostgreSQL, chapter "Message Formats"): "Z", its length, and "I" for no transaction.
const READY = Buffer.from([0x5a, 0, 0, 0, 5, 0x49]);

/** An ErrorResponse as a server sends it that is told to stop (SQLSTATE 57P01, admin_shutdown). */
function shutDown(): Buffer {
  const said = Buffer.from(
    'SFATAL\0VFATAL\0C57P01\0Mterminating connection due to administrator command\0\0',
  );
  const head = Buffer.alloc(5);
  head.write('E');
  head.writeInt32BE(said.length + 4, 1);
  return Buffer.concat([head, said]);
}

async function wireTo(url: string): Promise<Wire> {
  const { port, hostname } = new URL(url);
  const lines = new Set<Socket>();
  const wire: { behind: Buffer | null } = { behind: null };
  const server = createServer((near) => {
    const far = connect(Number(port), hostname);
    for (const line of [near, far]) {
      lines.add(line);
      line.on('error', () => undefined);
      line.on('close', () => lines.delete(line));
    }
    near.pipe(far);
    const { behind } = wire;
    far.on('data', (said) => {
      const ends = behind !== null && said.subarray(-READY.length).equals(READY);
      near.write(ends ? Buffer.concat([said, behind]) : said);
    });
    far.on('end', () => near.end());
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const here = new URL(url);
  here.host = `127.0.0.1:${(server.address() as AddressInfo).port}`;
  return Object.assign(wire, {
    url: String(here),
    cut: () => {
      for (const line of lines) line.resetAndDestroy();
    },
    close: async () => {
      for (const line of lines) line.destroy();
      server.close();
      await once(server, 'close');
    },
  });
}

describe('a line to PostgreSQL that is lost', () => {
  const fresh = postgresqlDatabases();
  let wire: Wire;
  let store: Store;
  beforeEach(async () => {
    wire = await wireTo(await fresh());
    store = await openStore(wire.url);
  });
  afterEach(async () => {
    await store.close().catch(() => undefined);
    await wire.close();
  });

  const faultOf = async (work: Promise<unknown>): Promise<unknown> =>
    work.then(
      () => null,
      (fault: unknown) => fault,
    );

  it.each([
    ['a record', (open: Store) => open.write(({ records }) => sleepThrough(records))],
    ['a statement', (open: Store) => open.writeSql((sql) => sql.all('SELECT pg_sleep(30)'))],
    ['a question', (open: Store) => open.sql.all('SELECT pg_sleep(30)')],
  ] as const)('under %s is an outage, and the next goes well', async (_, ask) => {
    const asked = faultOf(ask(store));
    await untilAsleep(store);
    wire.cut();
    expect(outageOf(await asked)).toBe('unreachable');
    expect(await store.sql.all('SELECT 1 AS "one"')).toEqual([{ one: 1 }]);
  });

  it('in one packet with the answer that opened it ends no process', async () => {
    wire.cut();
    await faultOf(store.probe());
    wire.behind = shutDown();
    // Unheard, the loss would be thrown past everybody, and the suite fails by it.
    const asked = await Promise.all([
      faultOf(store.writeSql((sql) => sql.all('SELECT 1'))),
      faultOf(store.write(({ records }) => records.owner.count())),
      faultOf(store.sql.all('SELECT 1')),
    ]);
    expect(asked.map((fault) => outageOf(fault))).toEqual([
      'unreachable',
      'unreachable',
      'unreachable',
    ]);
    wire.behind = null;
    expect(await store.sql.all('SELECT 1 AS "one"')).toEqual([{ one: 1 }]);
  });
});

const sleepThrough = (records: Store['records']) =>
  records.$queryRawUnsafe('SELECT pg_sleep(30)::text');

async function untilAsleep(store: Store): Promise<void> {
  for (;;) {
    const [row] = await store.sql.all<{ asleep: number }>(
      `SELECT COUNT(*) AS "asleep" FROM pg_stat_activity WHERE "datname" = current_database() AND "query" LIKE '%pg_sleep(30)%' AND "query" NOT LIKE '%pg_stat_activity%'`,
    );
    if ((row?.asleep ?? 0) > 0) return;
  }
}
