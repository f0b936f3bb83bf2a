import type { ChildProcess } from 'node:child_process';
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { makeHerd, ROUND_AT } from '../../bench/round-herd.ts';
import { openStore } from '../../src/store/database/open-store.ts';
import { readSnapshot } from '../../src/store/database/snapshot.ts';
import { makeKey } from '../../src/usecases/organisations/organisations.ts';
import { moveRecords } from '../../src/usecases/records/move-records.ts';
import type { Sink } from '../delivery/sink.ts';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const CHILD = fileURLToPath(new URL('./instance-child.mjs', import.meta.url));
const END_MS = 40_000;

/** A process with the whole program loaded, which serves once it is told to. */
export interface Instance {
  readonly child: ChildProcess;
  /** Opens the records and listens; where. */
  serve(): Promise<string>;
  /** Where it listens; empty until it does. */
  readonly address: string;
}

export interface InstanceSettings {
  readonly folder: string;
  readonly databaseUrl: string;
  readonly smtpUrl: string;
}

/** The clock of all instances of a run: it begins at the herd's round. */
export function runningClock(): () => string {
  const begun = Date.now();
  return () => new Date(Date.parse(ROUND_AT) + Date.now() - begun).toISOString();
}

/** Starts the built program, which holds rounds and delivers each second once it serves. */
export async function loadInstance(
  { folder, databaseUrl, smtpUrl }: InstanceSettings,
  now: () => string,
): Promise<Instance> {
  const env = {
    ...process.env,
    DATABASE_URL: databaseUrl,
    SMTP_URL: smtpUrl,
    MAIL_FROM: 'Foldkeep <care@example.org>',
    MAIL_TRAY: join(folder, 'tray'),
    ERASED_FILE: join(folder, 'erased'),
    PUBLIC_URL: 'https://care.example.org',
    PORT: '0',
    LOG_LEVEL: 'silent',
    ROUND_CRON: '* * * * * *',
    DELIVERY_CRON: '* * * * * *',
    BACKUP_CRON: 'off',
    MAIL_BURST: '100000',
    MAIL_DOMAIN_BURST: '100000',
  };
  const child = fork(CHILD, [ROOT], {
    execArgv: [],
    env,
    stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
  });
  await heardFrom(child);
  const instance = {
    child,
    address: '',
    async serve() {
      child.send({ clockAt: now() });
      instance.address = await heardFrom(child);
      return instance.address;
    },
  };
  return instance;
}

/** The same, serving already. */
export async function startInstance(
  settings: InstanceSettings,
  now: () => string,
): Promise<Instance> {
  const instance = await loadInstance(settings, now);
  await instance.serve();
  return instance;
}

async function heardFrom(child: ChildProcess): Promise<string> {
  const [said] = (await Promise.race([once(child, 'message'), once(child, 'exit')])) as unknown[];
  if (typeof said !== 'string') throw new Error('an instance did not start');
  return said;
}

/** Asks an instance to end, and says whether it did so by itself. */
export async function ended(instance: Instance | undefined): Promise<boolean> {
  if (instance === undefined || instance.child.exitCode !== null) return false;
  const exit = once(instance.child, 'exit') as Promise<[number | null]>;
  instance.child.kill('SIGTERM');
  const [code] = await Promise.race([exit, sleep(END_MS).then((): [null] => [null])]);
  if (code !== 0) instance.child.kill('SIGKILL');
  return code === 0;
}

/** Kills an instance where it stands. */
export async function killed(instance: Instance): Promise<void> {
  if (instance.child.exitCode !== null || instance.child.signalCode !== null) return;
  const exit = once(instance.child, 'exit');
  instance.child.kill('SIGKILL');
  await exit;
}

/** A herd of which the first so many owners are owed letters, in a SQLite file, and a key to it. */
export async function herdIn(
  folder: string,
  cars: number,
  owed = cars,
): Promise<{ url: string; key: string }> {
  const file = join(folder, 'herd.db');
  await makeHerd(file, cars, owed);
  const store = await openStore(`file:${file}`);
  const context = {
    store,
    now: () => ROUND_AT,
    publicUrl: 'https://care.example.org',
    mailDomain: 'example.org',
  };
  const { key } = await makeKey(context, { name: 'Bench Shop' }, 'full');
  await store.close();
  return { url: `file:${file}`, key };
}

/** Carries a herd into an empty PostgreSQL database. */
export async function carryOver(from: string, to: string): Promise<void> {
  const silent = { dryRun: false, progress: () => undefined };
  await moveRecords({ from, to, at: ROUND_AT, ...silent });
}

export interface Logging {
  /** Entries that were acknowledged. */
  readonly acknowledged: readonly string[];
  /** Ends when the entries in hand are taken. */
  end(): Promise<void>;
}

const MOST_ATTEMPTS = 1_500;
// Some side by side, so that deeds that share a commit are met by kills.
const AT_ONCE = 4;

/**
 * Logs a few entries at a time, each under its own key until it is acknowledged, by whichever instance
 * answers. Each has an instant of its own, by which it is known again.
 */
export function keepLogging(
  instances: readonly Instance[],
  { key, cars, writer = 0 }: { key: string; cars: number; writer?: number },
): Logging {
  const acknowledged: string[] = [];
  const over = new AbortController();
  const day = Date.parse('2026-06-01T00:00:00Z') + writer * 86_400_000;
  const log = async (n: number) => {
    const at = new Date(day + n * 1_000).toISOString();
    const car = `c${String((n * 7 + writer) % cars).padStart(8, '0')}`;
    for (let attempt = 0; ; attempt++) {
      const address = instances[(n + attempt) % instances.length]?.address ?? '';
      const answer = await fetch(`${address}/v1/cars/${car}/position`, {
        method: 'POST',
        headers: {
          authorization: `Bearer ${key}`,
          'content-type': 'application/json',
          'idempotency-key': `"entry-${writer}-${n}"`,
        },
        body: JSON.stringify({ position: 'raised', at }),
      }).catch(() => null);
      if (answer?.status === 201) break;
      if (attempt > MOST_ATTEMPTS) {
        throw new Error(`an entry was never taken: ${answer?.status ?? 'gone'}`);
      }
      await sleep(20);
    }
    acknowledged.push(at);
  };
  const run = async () => {
    for (let n = 0; !over.signal.aborted; n += AT_ONCE) {
      await Promise.all(Array.from({ length: AT_ONCE }, (_, one) => log(n + one)));
      await sleep(15);
    }
  };
  const running = run();
  running.catch(() => undefined);
  return {
    acknowledged,
    async end() {
      over.abort();
      await running;
    },
  };
}

/** What became of acknowledged entries. */
export async function entriesOf(databaseUrl: string, logs: readonly Logging[]) {
  const rows = await rowsOf<{ at: string; n: number }>(
    databaseUrl,
    `SELECT "at", COUNT(*) AS "n" FROM "position_entry" WHERE "recordedBy" <> 'bench' GROUP BY "at"`,
  );
  const counts = new Map(rows.map(({ at, n }) => [at, n]));
  const acknowledged = logs.flatMap((log) => log.acknowledged);
  return {
    writes: acknowledged.length,
    writesLost: acknowledged.filter((at) => !counts.has(at)).length,
    writesTwice: [...counts.values()].filter((count) => count > 1).length,
  };
}

interface LetterEnd {
  readonly messageId: string;
  readonly state: string;
  readonly nextTryAt: string | null;
}

const isOpen = ({ state, nextTryAt }: LetterEnd): boolean =>
  ['planned', 'sending'].includes(state) || (state === 'unknown' && nextTryAt !== null);

/** Rows of a database that others are writing to. */
export function rowsOf<Row>(databaseUrl: string, text: string): Promise<Row[]> {
  return readSnapshot(databaseUrl, (sql) => sql.all<Row>(text));
}

const openLetters = async (databaseUrl: string): Promise<number> => {
  const rows = await rowsOf<LetterEnd>(
    databaseUrl,
    `SELECT "messageId", "state", "nextTryAt" FROM "letter" WHERE "state" IN ('planned', 'sending', 'unknown')`,
  );
  return rows.filter(isOpen).length;
};

/** Waits until no letter is on its way any more, or where that lasts. */
export async function untilSettled(databaseUrl: string, patienceMs: number): Promise<void> {
  const until = Date.now() + patienceMs;
  while ((await openLetters(databaseUrl)) > 0 && Date.now() < until) await sleep(500);
}

/** What became of the letters, by the records and by the mail server that took them over. */
export async function lettersOf(databaseUrl: string, sink: Sink) {
  const all = await rowsOf<LetterEnd>(
    databaseUrl,
    'SELECT "messageId", "state", "nextTryAt" FROM "letter"',
  );
  const known = new Set(all.map(({ messageId }) => messageId));
  const arrived = ({ messageId }: LetterEnd) => sink.copies.has(messageId);
  const meant = all.filter(({ state }) => state !== 'cancelled');
  const held = meant.filter(({ state, nextTryAt }) => state === 'unknown' && nextTryAt === null);
  const stuck = meant.filter((letter) => isOpen(letter));
  const told = new Set([...held, ...stuck]);
  const copies = [...sink.copies.values()];
  return {
    letters: all.length,
    cancelled: all.length - meant.length,
    lost: meant.filter((letter) => !arrived(letter) && !told.has(letter)).length,
    stuck: stuck.length,
    held: held.length,
    heldAndNotArrived: held.filter((letter) => !arrived(letter)).length,
    repeated: copies.filter((count) => count > 1).length,
    thirdCopies: copies.filter((count) => count > 2).length,
    altered: [...sink.contents.values()].filter(({ size }) => size > 1).length,
    strangers: [...sink.copies.keys()].filter((id) => !known.has(id)).length,
  };
}
