import type { ChildProcess } from 'node:child_process';
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { makeHerd, ROUND_AT } from '../../bench/round-herd.ts';
import { startPostgresql } from '../../prisma/embedded-postgresql.mjs';
import { openStore } from '../../src/store/database/open-store.ts';
import { makeKey } from '../../src/usecases/organisations/organisations.ts';
import { moveRecords } from '../../src/usecases/records/move-records.ts';
import { startSink } from '../delivery/sink.ts';

export interface RollingReport {
  readonly name: 'rolling-restart';
  readonly restarts: number;
  readonly letters: number;
  /** Of which so many became untrue by what was logged meanwhile, and were written anew. */
  readonly cancelled: number;
  /** Letters that reached nobody when all was over. The goal is 0. */
  readonly lost: number;
  /** Letters that came more than once. The goal is 0: nobody was killed. */
  readonly twice: number;
  /** Letters that were still in flight long after the last restart. The goal is 0. */
  readonly stuck: number;
  /** Acknowledged writes through the two addresses, and those of them that are not there, or twice. */
  readonly writes: number;
  readonly writesLost: number;
  readonly writesTwice: number;
  /** Instances that did not end by themselves when they were asked to. The goal is 0. */
  readonly unwilling: number;
  readonly seconds: number;
}

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const CHILD = fileURLToPath(new URL('./instance-child.mjs', import.meta.url));
// Letters that a mail server ponders so long are on the line whenever an instance is asked to end.
const PONDERS_MS = 40;
const PATIENCE_MS = 60_000;
const END_MS = 40_000;

/**
 * Restarts two instances on one PostgreSQL in turn, as an upgrade does, while both hold rounds each second
 * and deliver, and somebody logs through whichever answers. Then waits for the rest and counts.
 */
export async function rollingRestart(restarts: number, owners: number): Promise<RollingReport> {
  const begun = Date.now();
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-rolling-'));
  const server = await startPostgresql(folder);
  const sink = await startSink({ pondersMs: PONDERS_MS });
  const url = await server.url('rolling');
  const instances: Instance[] = [];
  try {
    const key = await makeRecords(folder, url, owners);
    const start = () => newInstance(folder, url, sink.url);
    instances.push(await start(), await start());
    const log = keepLogging(instances, key, owners);
    let unwilling = 0;
    for (let n = 0; n < restarts; n++) {
      await sleep(300);
      const place = n % 2;
      if (!(await ended(instances[place]))) unwilling += 1;
      instances[place] = await start();
    }
    const store = await openStore(url);
    const open = () =>
      store.sql.all<{ messageId: string; state: string }>(
        `SELECT "messageId", "state" FROM "letter" WHERE "state" NOT IN ('delivered', 'cancelled')`,
      );
    for (let waited = 0; waited < PATIENCE_MS && (await open()).length > 0; waited += 200) {
      await sleep(200);
    }
    const { acknowledged } = await log.end();
    for (const instance of instances) if (!(await ended(instance))) unwilling += 1;
    const all = await store.sql.all<{ messageId: string; state: string }>(
      'SELECT "messageId", "state" FROM "letter"',
    );
    const letters = all.filter(({ state }) => state !== 'cancelled');
    const stuck = (await open()).length;
    const there = await store.sql.all<{ at: string; n: number }>(
      `SELECT "at", COUNT(*) AS "n" FROM "position_entry" WHERE "recordedBy" <> 'bench' GROUP BY "at", "carId"`,
    );
    await store.close();
    const counts = new Map(there.map(({ at, n }) => [at, n]));
    return {
      name: 'rolling-restart',
      restarts,
      letters: all.length,
      cancelled: all.length - letters.length,
      lost: letters.filter(({ messageId }) => !sink.copies.has(messageId)).length,
      twice: [...sink.copies.values()].filter((count) => count > 1).length,
      stuck,
      writes: acknowledged.length,
      writesLost: acknowledged.filter((at) => !counts.has(at)).length,
      writesTwice: [...counts.values()].filter((count) => count > 1).length,
      unwilling,
      seconds: Math.round((Date.now() - begun) / 1_000),
    };
  } finally {
    for (const { child } of instances) child.kill('SIGKILL');
    await sink.close();
    await server.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}

interface Instance {
  readonly child: ChildProcess;
  readonly address: string;
}

/** A herd of which every owner is owed letters, on PostgreSQL, and a key to it. */
async function makeRecords(folder: string, url: string, owners: number): Promise<string> {
  const from = `file:${join(folder, 'herd.db')}`;
  await makeHerd(join(folder, 'herd.db'), owners, owners);
  const store = await openStore(from);
  const context = {
    store,
    now: () => ROUND_AT,
    publicUrl: 'https://care.example.org',
    mailDomain: 'example.org',
  };
  const { key } = await makeKey(context, { name: 'Bench Shop' }, 'full');
  await store.close();
  const silent = { dryRun: false, progress: () => undefined };
  await moveRecords({ from, to: url, at: ROUND_AT, ...silent });
  return key;
}

async function newInstance(folder: string, url: string, smtpUrl: string): Promise<Instance> {
  const env = {
    ...process.env,
    DATABASE_URL: url,
    SMTP_URL: smtpUrl,
    MAIL_FROM: 'Foldkeep <care@example.org>',
    MAIL_TRAY: join(folder, 'tray'),
    PUBLIC_URL: 'https://care.example.org',
    PORT: '0',
    LOG_LEVEL: 'silent',
    ROUND_CRON: '* * * * * *',
    DELIVERY_CRON: '* * * * * *',
    MAIL_BURST: '100000',
    MAIL_DOMAIN_BURST: '100000',
  };
  const child = fork(CHILD, [ROOT, ROUND_AT], {
    execArgv: [],
    env,
    stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
  });
  const [address] = (await Promise.race([once(child, 'message'), once(child, 'exit')])) as [string];
  if (typeof address !== 'string') throw new Error('an instance did not start');
  return { child, address };
}

/** Asks an instance to end, and says whether it did so by itself. */
async function ended(instance: Instance | undefined): Promise<boolean> {
  if (instance === undefined || instance.child.exitCode !== null) return false;
  const exit = once(instance.child, 'exit') as Promise<[number | null]>;
  instance.child.kill('SIGTERM');
  const [code] = await Promise.race([exit, sleep(END_MS).then((): [null] => [null])]);
  if (code !== 0) instance.child.kill('SIGKILL');
  return code === 0;
}

/** Logs one entry after the other, each until it is acknowledged, by whichever instance answers. */
function keepLogging(instances: readonly Instance[], key: string, owners: number) {
  const acknowledged: string[] = [];
  const over = new AbortController();
  const run = async () => {
    for (let n = 0; !over.signal.aborted; n++) {
      const at = new Date(Date.parse('2026-06-01T00:00:00Z') + n * 1_000).toISOString();
      const car = `c${String(n % owners).padStart(8, '0')}`;
      for (let attempt = 0; ; attempt++) {
        const address = instances[(n + attempt) % 2]?.address ?? '';
        const answer = await fetch(`${address}/v1/cars/${car}/position`, {
          method: 'POST',
          headers: {
            authorization: `Bearer ${key}`,
            'content-type': 'application/json',
            'idempotency-key': `"entry-${n}"`,
          },
          body: JSON.stringify({ position: 'raised', at }),
        }).catch(() => null);
        if (answer?.status === 201) break;
        if (attempt > 500) throw new Error(`an entry was never taken: ${answer?.status ?? 'gone'}`);
        await sleep(20);
      }
      acknowledged.push(at);
      await sleep(15);
    }
  };
  const running = run();
  return {
    async end() {
      over.abort();
      await running;
      return { acknowledged };
    },
  };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const report = await rollingRestart(Number(process.argv[2] ?? 20), 400);
  process.stdout.write(`${JSON.stringify(report)}\n`);
  const { lost, twice, stuck, writesLost, writesTwice, unwilling } = report;
  process.exitCode = lost + twice + stuck + writesLost + writesTwice + unwilling > 0 ? 1 : 0;
}
