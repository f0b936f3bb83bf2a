import { execFileSync, fork } from 'node:child_process';
import type { ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { ROUND_AT } from '../../bench/round-herd.ts';
import { startPostgresql } from '../../prisma/embedded-postgresql.mjs';
import { addMinutes } from '../../src/domain/calendar/instant.ts';
import { smtpSender } from '../../src/mail/sender.ts';
import { openStore } from '../../src/store/database/open-store.ts';
import { deliverLetters } from '../../src/usecases/delivery/deliver-letters.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import type { Sink } from '../delivery/sink.ts';
import { startSink } from '../delivery/sink.ts';
import { numbersFrom } from '../setup/numbers-from.ts';
import { carryOver, herdIn, lettersOf } from './instances.ts';
import type { LettersAfterKills } from './letters-after-kills.ts';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const CHILD = fileURLToPath(new URL('./delivering-child.mjs', import.meta.url));
// The last tenth of the kills falls into the sending once more of what the others left unknown.
const FRESH_SHARE = 0.9;
const LEASE_AND_WAIT = 16;
// A day and more, so that whatever waits for another attempt or for the morning gets it.
const MOST_TURNS = 120;
const OPEN = `SELECT COUNT(*) AS "n" FROM "letter" WHERE "state" IN ('planned', 'sending') OR ("state" = 'unknown' AND "nextTryAt" IS NOT NULL)`;

/**
 * Kills a delivering process with SIGKILL again and again, at moments drawn from the seed: while it
 * claims, while letters are on the line, between the answer and the commit. Then delivers what is
 * left, however long that takes, and compares the records with what a mail server on loopback took
 * over. No new kill begins after `maxSeconds`.
 */
export async function killDelivery(
  dialect: 'sqlite' | 'postgresql',
  kills: number,
  { seed, maxSeconds = 600 }: { seed: number; maxSeconds?: number },
): Promise<LettersAfterKills> {
  const draw = numbersFrom(seed);
  const begun = Date.now();
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-kill-'));
  const server = dialect === 'postgresql' ? await startPostgresql(folder) : null;
  const sink = await startSink();
  const standby: Standby[] = [];
  try {
    // Each owner gets a reminder and a care note.
    const owners = 10 + 13 * kills;
    const { url } = await herdIn(folder, owners);
    const databaseUrl = server === null ? url : await server.url('killed');
    if (server !== null) await carryOver(url, databaseUrl);
    const program = compiled(folder);
    await inStore(databaseUrl, ROUND_AT, (context) => planRound(context));
    let done = 0;
    for (; done < kills && Date.now() - begun < maxSeconds * 1_000; done++) {
      while (standby.length < 2) standby.push(newChild(program));
      const next = standby.shift();
      if (next === undefined) break;
      const again = Math.max(0, done - Math.floor(kills * FRESH_SHARE));
      const now = addMinutes(ROUND_AT, Math.min(again, 2) * LEASE_AND_WAIT + done / 60);
      await killOnce(next, { databaseUrl, smtpUrl: sink.url, now }, sink, draw);
    }
    for (let turn = 3, open = 1; open > 0 && turn < MOST_TURNS; turn++) {
      const now = addMinutes(ROUND_AT, turn * LEASE_AND_WAIT);
      const sender = smtpSender({ url: sink.url });
      open = await inStore(databaseUrl, now, async (context) => {
        await deliverLetters(context, sender, {
          mailFrom: { name: 'Foldkeep', address: 'care@example.org' },
        });
        const rows = await context.store.sql.all<{ n: number }>(OPEN);
        return rows[0]?.n ?? 0;
      });
      await sender.close();
    }
    return {
      name: `kill-delivery-${dialect}`,
      seed,
      kills: done,
      ...(await lettersOf(databaseUrl, sink)),
      seconds: Math.round((Date.now() - begun) / 1_000),
    };
  } finally {
    for (const { child } of standby) child.kill('SIGKILL');
    await sink.close();
    await server?.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}

interface Standby {
  readonly child: ChildProcess;
  readonly loaded: Promise<unknown>;
  readonly exited: Promise<unknown>;
}

/** Compiles the program as it stands into a folder of its own and tells which. */
function compiled(folder: string): string {
  const tsc = join(ROOT, 'node_modules/typescript/bin/tsc');
  const build = ['-p', join(ROOT, 'tsconfig.build.json'), '--noCheck'];
  execFileSync(process.execPath, [tsc, ...build, '--outDir', join(folder, 'dist')]);
  for (const name of ['prisma', 'templates', 'node_modules', 'package.json']) {
    symlinkSync(join(ROOT, name), join(folder, name));
  }
  return folder;
}

/** Children are started ahead of their turn, so that loading the program costs no time. */
function newChild(program: string): Standby {
  const child = fork(CHILD, [program], {
    execArgv: [],
    stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
  });
  const exited = once(child, 'exit');
  return { child, exited, loaded: Promise.race([once(child, 'message'), exited]) };
}

interface Go {
  readonly databaseUrl: string;
  readonly smtpUrl: string;
  readonly now: string;
}

async function killOnce(
  { child, loaded, exited }: Standby,
  go: Go,
  sink: Sink,
  draw: () => number,
): Promise<void> {
  await loaded;
  const before = sink.taken();
  child.send(go);
  await Promise.race([once(child, 'message'), exited]);
  if (draw() < 0.2) await sleep(draw() * 60);
  else {
    const target = before + 1 + Math.floor(draw() * 30);
    while (child.exitCode === null && sink.taken() < target) await sleep(1);
    await sleep(draw() * 6);
  }
  child.kill('SIGKILL');
  await exited;
}

async function inStore<T>(
  url: string,
  now: string,
  work: (context: Parameters<typeof planRound>[0]) => Promise<T>,
): Promise<T> {
  const store = await openStore(url);
  try {
    return await work({
      store,
      now: () => now,
      publicUrl: 'https://care.example.org',
      mailDomain: 'example.org',
    });
  } finally {
    await store.close();
  }
}
