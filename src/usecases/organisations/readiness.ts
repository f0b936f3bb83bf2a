import { setTimeout as wait } from 'node:timers/promises';
import { addMinutes } from '../../domain/calendar/instant.ts';
import { latestLook } from '../../store/cars/round-held-rows.ts';
import { countSetAside } from '../../store/letters/round-fault-rows.ts';
import { lettersByState, oldestDue } from '../../store/letters/letter-lists.ts';
import type { Context } from '../context/context.ts';
import type { Outage } from '../context/outage.ts';
import { outageOf } from '../context/outage.ts';
import { drawBytes } from '../context/random-bytes.ts';
import { storeAnswer } from '../../store/once/answer-rows.ts';

/**
 * "ok" where the database can be read afresh and takes a write that reaches its disk, else what stands
 * in the way, without addresses or passwords. Whoever asks meanwhile, and a second long after, gets
 * the same answer: asking costs a commit.
 */
export function checkDatabase(context: Context): Promise<string> {
  const { store } = context;
  let asked = asking.get(store);
  if (asked === undefined) {
    asked = askDatabase(context);
    asking.set(store, asked);
    void asked.then(() => setTimeout(() => asking.delete(store), FRESH_MS).unref());
  }
  return asked;
}

const asking = new WeakMap<Context['store'], Promise<string>>();
const FRESH_MS = 1_000;
const PATIENCE_MS = 5_000;

async function askDatabase(context: Context): Promise<string> {
  const late = wait(PATIENCE_MS, 'does not answer in time', { ref: false });
  const found = tryDatabase(context).then(
    () => 'ok',
    (fault: unknown) => WORDS[outageOf(fault) ?? 'unreachable'],
  );
  return Promise.race([found, late]);
}

const WORDS: Readonly<Record<Outage, string>> = {
  unreachable: 'does not answer',
  full: 'its disk is full',
  damaged: 'is damaged',
};

/** Reads afresh, then writes what a page can hold where the answers to repeated requests are kept. */
async function tryDatabase(context: Context): Promise<void> {
  const { store } = context;
  await store.probe();
  const row = { accessKeyId: 'readyz', key: 'readyz', requestHash: '', status: 204, headers: null };
  const body = drawBytes(3_000).toString('base64');
  await store.writeSql((sql) => storeAnswer(sql, { ...row, body, createdAt: context.now() }));
}

/**
 * "ok", or by how much the clock is behind what rounds wrote down: either it is wrong now, or it was
 * ahead then. Rounds decide by what it says now, and write anew what was decided too early.
 */
export async function checkClock(context: Context): Promise<string> {
  const latest = await latestLook(context.store.sql).catch(() => null);
  const now = context.now();
  if (latest === null || latest <= addMinutes(now, CLOCK_MINUTES)) return 'ok';
  return `it is ${now} by the clock, but a round was held at ${latest}`;
}

// Machines that share a database differ by less.
const CLOCK_MINUTES = 5;

/** How many letters stand in each state, and since when the oldest that is due has waited. */
export async function countLetters(
  context: Context,
): Promise<{ states: { state: string; n: number }[]; oldestDue: string | null; setAside: number }> {
  const { sql } = context.store;
  return {
    states: await lettersByState(sql),
    oldestDue: await oldestDue(sql, context.now()),
    setAside: await countSetAside(sql),
  };
}
