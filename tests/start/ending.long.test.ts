import { rmSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { makeHerd, ROUND_AT } from '../../bench/round-herd.ts';
import { openStore } from '../../src/store/database/open-store.ts';
import type { Context } from '../../src/usecases/context/context.ts';
import { keepDays } from '../../src/usecases/day/keep-ahead.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';

const OWNERS = 1_200;
const A_CHUNK = 128;

let folder: string;
let context: Context;
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'foldkeep-ending-'));
  const file = join(folder, 'herd.db');
  await makeHerd(file, OWNERS, OWNERS);
  context = {
    store: await openStore(`file:${file}`),
    now: () => ROUND_AT,
    publicUrl: 'https://care.example.org',
    mailDomain: 'example.org',
  };
});
afterEach(async () => {
  await context.store.close();
  rmSync(folder, { recursive: true });
});

/** The context of a program that is asked to end while it writes for the nth time. */
function askedToEnd(nth: number): { ending: Context; signal: AbortSignal } {
  const asked = new AbortController();
  const { store } = context;
  let writes = 0;
  const writeSql: typeof store.writeSql = (work) => {
    if (++writes === nth) asked.abort();
    return store.writeSql(work);
  };
  const ending = { ...context, store: Object.create(store, { writeSql: { value: writeSql } }) };
  return { ending, signal: asked.signal };
}

it('ends a round behind the owners in hand, and the next writes the rest', async () => {
  const { ending, signal } = askedToEnd(1);
  const first = await planRound(ending, { signal });
  expect(first.planned).toBe(A_CHUNK);
  const rest = await planRound(context);
  expect(first.planned + rest.planned).toBe(OWNERS);
});

it('ends the reckoning of the day behind the cars in hand, and the next does the rest', async () => {
  const kept = async () =>
    (await context.store.sql.all('SELECT 1 FROM "car_kept" WHERE "goodUntil" <> \'\'')).length;
  // The first is what all cars teach together.
  const { ending, signal } = askedToEnd(2);
  await keepDays(ending, { signal });
  expect(await kept()).toBeGreaterThan(0);
  expect(await kept()).toBeLessThan(A_CHUNK);
  await keepDays(context);
  expect(await kept()).toBe(OWNERS);
});
