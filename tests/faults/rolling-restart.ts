import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { startPostgresql } from '../../prisma/embedded-postgresql.mjs';
import { startSink } from '../delivery/sink.ts';
import type { Instance } from './instances.ts';
import {
  carryOver,
  ended,
  entriesOf,
  herdIn,
  keepLogging,
  lettersOf,
  rowsOf,
  runningClock,
  startInstance,
  untilSettled,
} from './instances.ts';

export interface InstancesReport {
  readonly name: string;
  readonly instances: number;
  readonly cars: number;
  readonly restarts: number;
  readonly letters: number;
  /** Of which so many became untrue by what was logged meanwhile, and were written anew. */
  readonly cancelled: number;
  /** Letters that reached nobody when all was over. The goal is 0. */
  readonly lost: number;
  /** Letters that came more than once. The goal is 0: nobody was killed. */
  readonly repeated: number;
  /** Letters that were still in flight long after. The goal is 0. */
  readonly stuck: number;
  /** Letters of which nobody knows whether they arrived. The goal is 0. */
  readonly held: number;
  /** Owners to whom one thing was said by more than one letter. The goal is 0. */
  readonly saidTwice: number;
  /** Acknowledged writes through all addresses, and those of them that are not there, or twice. */
  readonly writes: number;
  readonly writesLost: number;
  readonly writesTwice: number;
  /** Instances that did not end by themselves when they were asked to. The goal is 0. */
  readonly unwilling: number;
  readonly seconds: number;
}

/** What has to be nothing. */
export const INSTANCES_GOALS = [
  'lost',
  'repeated',
  'stuck',
  'held',
  'saidTwice',
  'writesLost',
  'writesTwice',
  'unwilling',
] as const;

// Letters that a mail server ponders so long are on the line whenever an instance is asked to end.
const PONDERS_MS = 40;
const PATIENCE_MS = 60_000;

/**
 * Restarts two instances on one PostgreSQL in turn, as an upgrade does, while both hold rounds each second
 * and deliver, and somebody logs through whichever answers. Then waits for the rest and counts.
 */
export function rollingRestart(restarts: number, owners: number): Promise<InstancesReport> {
  return beside(
    'rolling-restart',
    { instances: 2, cars: owners, owed: owners },
    async (started) => {
      let unwilling = 0;
      for (let n = 0; n < restarts; n++) {
        await sleep(300);
        const place = n % 2;
        if (!(await ended(started.instances[place]))) unwilling += 1;
        started.instances[place] = await started.another();
      }
      return { restarts, unwilling };
    },
  );
}

/**
 * Has instances on one PostgreSQL hold rounds each second and deliver for some seconds, while somebody logs
 * through each of them. Then waits for the rest and counts.
 */
export function manyInstances(
  instances: number,
  herd: { readonly cars: number; readonly owed: number },
  seconds: number,
): Promise<InstancesReport> {
  return beside('many-instances', { instances, ...herd }, async () => {
    await sleep(seconds * 1_000);
    return { restarts: 0, unwilling: 0 };
  });
}

interface Started {
  readonly instances: Instance[];
  another(): Promise<Instance>;
}

async function beside(
  name: string,
  { instances, cars, owed }: { instances: number; cars: number; owed: number },
  work: (started: Started) => Promise<{ restarts: number; unwilling: number }>,
): Promise<InstancesReport> {
  const begun = Date.now();
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-instances-'));
  const server = await startPostgresql(folder);
  const sink = await startSink({ pondersMs: PONDERS_MS });
  const databaseUrl = await server.url('instances');
  const running: Instance[] = [];
  try {
    const { url, key } = await herdIn(folder, cars, owed);
    await carryOver(url, databaseUrl);
    const now = runningClock();
    const another = () => startInstance({ folder, databaseUrl, smtpUrl: sink.url }, now);
    while (running.length < instances) running.push(await another());
    const logs = running.map((_, writer) => keepLogging(running, { key, cars, writer }));
    const { restarts, unwilling } = await work({ instances: running, another });
    for (const log of logs) await log.end();
    await untilSettled(databaseUrl, PATIENCE_MS + owed * 20);
    const willing = await Promise.all(running.map((instance) => ended(instance)));
    const { lost, repeated, stuck, held, letters, cancelled } = await lettersOf(databaseUrl, sink);
    const twice = await rowsOf(
      databaseUrl,
      `SELECT "ownerId" FROM "letter" WHERE "state" <> 'cancelled' GROUP BY "ownerId", "kind", "subject" HAVING COUNT(*) > 1`,
    );
    const entries = await entriesOf(databaseUrl, logs);
    return {
      name,
      instances,
      cars,
      restarts,
      letters,
      cancelled,
      lost,
      repeated,
      stuck,
      held,
      saidTwice: twice.length,
      ...entries,
      unwilling: unwilling + willing.filter((did) => !did).length,
      seconds: Math.round((Date.now() - begun) / 1_000),
    };
  } finally {
    for (const { child } of running) child.kill('SIGKILL');
    await sink.close();
    await server.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}
