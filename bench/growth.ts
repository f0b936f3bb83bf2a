import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openStore } from '../src/store/database/open-store.ts';
import { logPosition } from '../src/usecases/cars/log-position.ts';
import { listDue } from '../src/usecases/tops/read-tops.ts';
import { pageOfPlan } from '../src/usecases/diary/plan-page.ts';
import { planDiary } from '../src/usecases/diary/plan-diary.ts';
import { readCalls } from '../src/usecases/day/read-calls.ts';
import { readToday } from '../src/usecases/day/today-page.ts';
import type { Context } from '../src/usecases/context/context.ts';
import { callerOf, makeKey } from '../src/usecases/organisations/organisations.ts';
import { forecast } from '../src/usecases/round/forecast.ts';
import { planRound } from '../src/usecases/round/plan-round.ts';
import type { Measured } from './measure.ts';
import { best } from './measure.ts';
import { ROUND_AT } from './round-herd.ts';
import { makeShopHerd } from './shop-herd.ts';

const FEW = 100;
const MANY = 10_000;
/** Longest that anybody may wait behind another. */
const WAIT_MS = 100;

/**
 * What the morning takes of a shop with 10,000 cars against one with 100, on a day that goes on (all is
 * kept) and right after a car changed, and how long the thread is held at a time meanwhile, against 100 ms.
 * The first page after a start, which reckons every car, a forecast of a year, a plan of eight weeks and a round that
 * writes whatever is owed are only watched for that: `held` by the clock on the wall, which other work on the machine makes longer, and `worked`
 * by what the process worked meanwhile, its collector's helpers too.
 */
export async function run(): Promise<Measured[]> {
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-growth-'));
  const few = await measure(join(folder, 'few.db'), FEW);
  const many = await measure(join(folder, 'many.db'), MANY);
  rmSync(folder, { recursive: true, force: true });
  return [
    { name: 'today-10000-cars-vs-100', ratio: many.today.ms / few.today.ms, goal: '<= 2' },
    { name: 'calls-10000-cars-vs-100', ratio: many.calls.ms / few.calls.ms, goal: '<= 2' },
    {
      name: 'today-after-a-change-10000-cars-vs-100',
      ratio: many.changed.ms / few.changed.ms,
      goal: '<= 2',
    },
    { name: 'tops-list-10000-cars-vs-100', ratio: many.tops.ms / few.tops.ms, goal: '<= 2' },
    ...(['first', 'today', 'calls', 'forecast', 'plan', 'round'] as const).flatMap((what) => [
      { name: `held-by-${what}-vs-100-ms`, ratio: many[what].held / WAIT_MS, goal: '<= 1' },
      { name: `worked-by-${what}-vs-100-ms`, ratio: many[what].worked / WAIT_MS, goal: '<= 1' },
    ]),
    { name: 'plan-of-8-weeks-first-page-vs-100-kb', ratio: many.planBytes / 100_000, goal: '<= 1' },
  ];
}

async function measure(file: string, cars: number) {
  await makeShopHerd(file, cars);
  const store = await openStore(`file:${file}`);
  const context: Context = {
    store,
    now: () => ROUND_AT,
    publicUrl: 'https://care.example.org',
    mailDomain: 'example.org',
  };
  const { key } = await makeKey(context, { name: 'Bench Shop' }, 'full');
  const caller = await callerOf(context, key);
  if (caller === null) throw new Error('the key does not open');
  const first = await watched(1, () => readToday(context, caller));
  const today = await watched(20, () => readToday(context, caller));
  const calls = await watched(20, () => readCalls(context, caller, { limit: 50 }));
  const tops = await watched(20, () =>
    listDue(context, caller, { until: '9999-12-31', limit: 50 }),
  );
  const changed = await watched(5, async () => {
    await logPosition(
      context,
      { organisationId: caller.organisationId, by: 'bench' },
      'c00000007',
      {
        position: 'raised',
        at: ROUND_AT,
      },
    );
    await readToday(context, caller);
  });
  const range = { from: '2026-06-12', to: '2027-06-11' };
  const letters = await watched(1, () => forecast(context, caller, range));
  const asked = { weeks: 8, apply: false };
  const plan = await watched(3, () => planDiary(context, caller, asked));
  const page = pageOfPlan(await planDiary(context, caller, asked), { limit: 50 });
  const planBytes = JSON.stringify(page).length;
  const round = await watched(1, () => planRound(context, { withLetters: false }));
  await store.close();
  return { first, today, calls, tops, changed, forecast: letters, plan, planBytes, round };
}

/** The shortest of some runs, and the longest time in all of them in which nothing else had a turn. */
async function watched(runs: number, work: () => Promise<unknown>) {
  let held = 0;
  let worked = 0;
  let turn = performance.now();
  let before = process.cpuUsage();
  let watching = true;
  const watch = () => {
    const now = performance.now();
    const { user, system } = process.cpuUsage(before);
    held = Math.max(held, now - turn);
    worked = Math.max(worked, Math.min(now - turn, (user + system) / 1_000));
    turn = now;
    before = process.cpuUsage();
    if (watching) setImmediate(watch);
  };
  setImmediate(watch);
  const ms = await best(runs, work);
  watching = false;
  watch();
  return { ms, held, worked };
}
