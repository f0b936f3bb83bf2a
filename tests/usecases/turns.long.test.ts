import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeShopHerd } from '../../bench/shop-herd.ts';
import { ROUND_AT } from '../../bench/round-herd.ts';
import type { Store } from '../../src/store/database/store.ts';
import { openStore } from '../../src/store/database/open-store.ts';
import type { Caller, Context } from '../../src/usecases/context/context.ts';
import { planDiary } from '../../src/usecases/diary/plan-diary.ts';
import { washerLives } from '../../src/usecases/tops/washer-lives.ts';
import { readCalls } from '../../src/usecases/day/read-calls.ts';
import { readToday } from '../../src/usecases/day/today-page.ts';
import { forecast } from '../../src/usecases/round/forecast.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { readParts } from '../../src/usecases/stock/read-parts.ts';
import { handIn } from '../../src/usecases/tables/import-runs.ts';
import { takeInRun } from '../../src/usecases/tables/take-in-run.ts';
import { callerOf, makeKey } from '../../src/usecases/organisations/organisations.ts';

const CARS = 600;

describe('work that goes through all cars of an organisation', () => {
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-turns-'));
  let store: Store;
  let context: Context;
  let caller: Caller;
  let table: string;

  beforeAll(async () => {
    const file = join(folder, 'herd.db');
    await makeShopHerd(file, CARS);
    store = await openStore(`file:${file}`);
    context = {
      store,
      now: () => ROUND_AT,
      publicUrl: 'https://care.example.org',
      mailDomain: 'example.org',
    };
    const { key } = await makeKey(context, { name: 'Bench Shop' }, 'full');
    const found = await callerOf(context, key);
    if (found === null) throw new Error('the key does not open');
    caller = found;
    table = await handInTable(CARS);
  });
  afterAll(async () => {
    await store.close();
    rmSync(folder, { recursive: true, force: true });
  });

  /** How often something else had its turn while the work was done. */
  async function turnsDuring(work: () => Promise<unknown>): Promise<number> {
    let turns = 0;
    let watching = true;
    const count = () => {
      turns += 1;
      if (watching) setImmediate(count);
    };
    setImmediate(count);
    await work();
    watching = false;
    return turns;
  }

  /** How often something else had its turn inside the deeds that the work writes by, not while the disk keeps them. */
  async function turnsInDeeds(work: (context: Context) => Promise<unknown>): Promise<number> {
    let turns = 0;
    const writeSql: Store['writeSql'] = (deed) =>
      store.writeSql(async (sql) => {
        let came: Awaited<ReturnType<typeof deed>> | undefined;
        turns += await turnsDuring(async () => {
          came = await deed(sql);
        });
        return came as Awaited<ReturnType<typeof deed>>;
      });
    await work({ ...context, store: { ...store, writeSql } });
    return turns;
  }

  /** Hands in a table with a car, its owner and its top a line. */
  function handInTable(lines: number): Promise<string> {
    const rows = Array.from(
      { length: lines },
      (_, n) =>
        `Owner ${n},turn${n}@example.org,TURN ${n},street,none,daily,2025-05-01,two-seat-manual,cloth,glass`,
    );
    const header = 'name,email,registration,place,salt,use,fitted on,frame pattern,material,window';
    const bytes = Buffer.from([header, ...rows].join('\n'));
    return handIn(context, caller, { name: 'cars.csv', bytes }, {});
  }

  // A database in the same process answers at once: without portions there is not one turn.
  it.each([
    ['the call list', () => readCalls(context, caller, { limit: 8 }), 3],
    ['the parts', () => readParts(context, caller, {}), 20],
    ["today's page", () => readToday(context, caller), 5],
    ['the lives of washers', () => washerLives(context, caller, 'pattern'), CARS / 50],
    ['the plan of the diary', () => planDiary(context, caller, { weeks: 30, apply: false }), 6],
    [
      'the forecast',
      () => forecast(context, caller, { from: '2026-06-12', to: '2026-07-12' }),
      CARS - 1,
    ],
    [
      'the taking in of a table',
      () => takeInRun(context, caller, table, { goodLinesOnly: false, progress: () => undefined }),
      (3 * CARS) / 100,
    ],
  ])('lets others have their turn: %s', async (_, work, least) => {
    expect(await turnsDuring(work)).toBeGreaterThanOrEqual(least);
  });

  it('lets others have their turn: a round, also while it writes', async () => {
    const letters = (dryRun: boolean) => (given: Context) =>
      planRound(given, { dryRun, withLetters: false }).then(({ planned }) => planned);
    const owed = await letters(true)(context);
    expect(owed).toBeGreaterThan(CARS / 4);
    const least = CARS / 32;
    expect(await turnsDuring(() => letters(true)(context))).toBeGreaterThanOrEqual(least);
    expect(await turnsInDeeds(letters(false))).toBeGreaterThanOrEqual(least);
  });
});
