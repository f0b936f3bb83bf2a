import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { startPostgresql } from '../../prisma/embedded-postgresql.mjs';
import { startSink } from '../delivery/sink.ts';
import { numbersFrom } from '../setup/numbers-from.ts';
import type { Instance } from './instances.ts';
import type { LettersAfterKills } from './letters-after-kills.ts';
import { LETTER_GOALS } from './letters-after-kills.ts';
import {
  carryOver,
  ended,
  entriesOf,
  herdIn,
  keepLogging,
  killed,
  lettersOf,
  loadInstance,
  runningClock,
  startInstance,
  untilSettled,
} from './instances.ts';

/** The same of a server that writes as well. */
export interface KillServerReport extends LettersAfterKills {
  /** Entries that were acknowledged, and those of them that are not there, or twice. The goals are 0. */
  readonly writes: number;
  readonly writesLost: number;
  readonly writesTwice: number;
}

/** What has to be nothing. */
export const KILL_SERVER_GOALS = [...LETTER_GOALS, 'writesLost', 'writesTwice'] as const;

const PONDERS_MS = 15;
const PATIENCE_MS = 240_000;
const WRITERS = 3;

/**
 * Kills a serving process again and again with SIGKILL, at moments drawn from the seed, while it holds
 * rounds each second, delivers, and answers writers who send each entry until it is acknowledged: the one
 * server of a SQLite file, or one of two on PostgreSQL in turn. Then lets the rest be delivered and
 * compares the records with what was acknowledged and what a mail server took over. No new kill begins
 * after `maxSeconds`.
 */
export async function killServer(
  dialect: 'sqlite' | 'postgresql',
  kills: number,
  { seed, maxSeconds = 600 }: { seed: number; maxSeconds?: number },
): Promise<KillServerReport> {
  const begun = Date.now();
  const draw = numbersFrom(seed);
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-kill-server-'));
  const server = dialect === 'postgresql' ? await startPostgresql(folder) : null;
  const sink = await startSink({ pondersMs: PONDERS_MS });
  const all: Instance[] = [];
  try {
    const cars = 40 + 25 * kills;
    const herd = await herdIn(folder, cars);
    const databaseUrl = server === null ? herd.url : await server.url('killed');
    if (server !== null) await carryOver(herd.url, databaseUrl);
    const settings = { folder, databaseUrl, smtpUrl: sink.url };
    const now = runningClock();
    const note = (instance: Instance): Instance => {
      all.push(instance);
      return instance;
    };
    const running = [note(await startInstance(settings, now))];
    if (server !== null) running.push(note(await startInstance(settings, now)));
    const logs = Array.from({ length: WRITERS }, (_, writer) =>
      keepLogging(running, { key: herd.key, cars, writer }),
    );
    let done = 0;
    for (; done < kills && Date.now() - begun < maxSeconds * 1_000; done++) {
      // Loaded ahead of its turn, so that it stands in at once, as a supervisor would have it.
      const next = note(await loadInstance(settings, now));
      await sleep(draw() * 700);
      const place = done % running.length;
      const victim = running[place];
      if (victim !== undefined) await killed(victim);
      running[place] = next;
      await next.serve();
    }
    await sleep(500);
    for (const log of logs) await log.end();
    await untilSettled(databaseUrl, PATIENCE_MS);
    for (const instance of running) await ended(instance);
    const letters = await lettersOf(databaseUrl, sink);
    const entries = await entriesOf(databaseUrl, logs);
    return {
      name: `kill-server-${dialect}`,
      seed,
      kills: done,
      ...letters,
      ...entries,
      seconds: Math.round((Date.now() - begun) / 1_000),
    };
  } finally {
    for (const { child } of all) child.kill('SIGKILL');
    await sink.close();
    await server?.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}
