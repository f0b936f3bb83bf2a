import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { startPostgresql } from '../../prisma/embedded-postgresql.mjs';
import { addDays } from '../../src/domain/calendar/day.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { loadScenario } from '../../src/usecases/scenario/load-scenario.ts';
import { deliverAll } from '../round/deliver-all.ts';
import type { Workshop } from '../setup/workshop.ts';
import { openWorkshop } from '../setup/workshop.ts';

export interface JumpsReport {
  readonly name: string;
  readonly cars: number;
  readonly days: number;
  /** Rounds that were held by a clock that was wrong. */
  readonly jumps: number;
  /** Letters that left the untouched copy. */
  readonly letters: number;
  /** Letters that it sent and the shop with the wrong clock did not. The goal is 0. */
  readonly lost: number;
  /** Letters that only the shop with the wrong clock sent. The goal is 0. */
  readonly strange: number;
  /** The first of them. */
  readonly differing: readonly string[];
  readonly seconds: number;
}

/** What has to be nothing. */
export const JUMPS_GOALS = ['lost', 'strange'] as const;

const START = '2026-06-01';
const HOURS = ['06', '12', '18'];

export interface Jump {
  /** On which day of the run, and by how many days the clock is wrong. */
  readonly day: number;
  readonly by: number;
}

/**
 * Lives some days twice over the same records, with three rounds and deliveries a day: once by a clock that
 * is right, once by one that jumps ahead and back while rounds are held. Compares what left, by day, subject
 * and reader.
 */
export async function clockJumps(
  dialect: 'sqlite' | 'postgresql',
  days: number,
  jumps: readonly Jump[],
  fill: (shop: Workshop) => Promise<unknown> = ({ context }) => loadScenario(context),
): Promise<JumpsReport> {
  const begun = Date.now();
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-jumps-'));
  const server = dialect === 'postgresql' ? await startPostgresql(folder) : null;
  const lived = async (name: string, wrong: readonly Jump[]) => {
    const url = server === null ? `file:${join(folder, `${name}.db`)}` : await server.url(name);
    const shop = await openWorkshop(`${START}T05:00:00.000Z`, url);
    try {
      await fill(shop);
      const cars = await shop.context.store.sql.all('SELECT "id" FROM "car"');
      return { cars: cars.length, left: await live(shop, days, wrong) };
    } finally {
      await shop.close();
    }
  };
  try {
    const right = await lived('right', []);
    const wrong = await lived('wrong', jumps);
    const lost = without(right.left, wrong.left);
    const strange = without(wrong.left, right.left);
    return {
      name: `clock-jumps-${dialect}`,
      cars: right.cars,
      days,
      jumps: jumps.length,
      letters: right.left.length,
      lost: lost.length,
      strange: strange.length,
      differing: [...lost.map((one) => `lost ${one}`), ...strange].slice(0, 6),
      seconds: Math.round((Date.now() - begun) / 1_000),
    };
  } finally {
    await server?.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}

async function live(shop: Workshop, days: number, jumps: readonly Jump[]): Promise<string[]> {
  const left: string[] = [];
  for (let day = 0; day < days; day++) {
    const today = addDays(START, day);
    for (const hour of HOURS) {
      const now = `${today}T${hour}:00:00.000Z`;
      for (const jump of jumps) {
        // As the clock goes wrong between two rounds of a day.
        if (jump.day !== day || hour !== '12') continue;
        shop.setNow(`${addDays(today, jump.by)}T11:30:00.000Z`);
        await planRound(shop.context, { withLetters: false });
      }
      shop.setNow(now);
      await planRound(shop.context, { withLetters: false });
      for (const { subject, to } of await deliverAll(shop)) left.push(`${today} ${subject} ${to}`);
    }
  }
  return left;
}

/** What one list has more of than another, each as often as it has it more. */
function without(one: readonly string[], other: readonly string[]): string[] {
  const counts = new Map<string, number>();
  for (const line of other) counts.set(line, (counts.get(line) ?? 0) + 1);
  return one.filter((line) => {
    const n = counts.get(line) ?? 0;
    counts.set(line, n - 1);
    return n <= 0;
  });
}
