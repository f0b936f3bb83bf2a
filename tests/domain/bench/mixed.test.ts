import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { jamsOf } from '../../../src/domain/bench/hall.ts';
import { readHorizon } from '../../../src/domain/bench/horizon.ts';
import { planBench } from '../../../src/domain/bench/plan.ts';
import { relaxedBound } from '../../../src/domain/bench/relaxed.ts';
import { bestByBruteForce, instances, scoreOf } from './oracle.ts';
import type { Instance } from './oracle.ts';
import { mostByHighs } from './solver.ts';

describe('visits of mixed lengths', () => {
  test('small plans equal the best of all assignments in all goals (brute force)', () => {
    fc.assert(
      fc.property(instances(6, [1, 2, 3]), (instance) => {
        const plan = planBench(instance);
        expect(scoreOf(plan, instance.visits)).toEqual(bestByBruteForce(instance));
        expect(plan.gap.placed).toBe(plan.placed.length);
      }),
      { numRuns: 300 },
    );
  });

  test('no week takes more than it has, and nobody comes ahead of the window', () => {
    fc.assert(
      fc.property(instances(40, [1, 4, 8]), (instance) => {
        const plan = planBench(instance);
        const room = new Map(instance.weeks.map((week) => [week.id, week.capacity]));
        const visits = new Map(instance.visits.map((visit) => [visit.id, visit]));
        for (const { id, week } of [...plan.placed, ...plan.outside]) {
          const visit = visits.get(id);
          room.set(week, (room.get(week) ?? 0) - (visit?.places ?? 0));
          expect(Number(week)).toBeGreaterThanOrEqual(visit?.earliest ?? Infinity);
        }
        expect(Math.min(...room.values())).toBeGreaterThanOrEqual(0);
        const all = [...plan.placed, ...plan.outside, ...plan.unplaced].map(({ id }) => id);
        expect(all).toHaveLength(visits.size);
        expect(new Set(all)).toEqual(new Set(visits.keys()));
      }),
      { numRuns: 100 },
    );
  });

  test('the bound is never above the relaxed problem nor below the optimum (HiGHS)', async () => {
    await fc.assert(
      fc.asyncProperty(instances(12, [1, 3, 4]), async (instance) => {
        const room = instance.weeks.map((week) => week.capacity);
        const bound = relaxedBound(
          room,
          instance.visits.map((visit) => ({
            ...visit,
            earliest: visit.earliest - 1,
            latest: visit.latest - 1,
            offered: -1,
            wasOffered: false,
          })),
        );
        expect(bound).toBeLessThanOrEqual((await mostByHighs(instance, true)) + 1e-6);
        expect(bound).toBeGreaterThanOrEqual((await mostByHighs(instance)) - 1e-6);
      }),
      { numRuns: 80 },
    );
  });

  // 26 weeks, windows of eight, visits of half an hour, two and four hours: as a shop has them.
  test.each([1, 2, 3, 4, 5, 6])(
    'a season is within one visit of the best whole plan (HiGHS), %i',
    async (seed) => {
      const instance = season(seed);
      const { gap, placed } = planBench(instance);
      const best = Math.round(await mostByHighs(instance));
      expect(placed.length).toBeGreaterThanOrEqual(best - 1);
      expect(gap.bound).toBeGreaterThanOrEqual(best);
      expect(gap.placed).toBe(placed.length);
    },
  );

  test('the same input gives the same plan', () => {
    expect(planBench(season(7))).toEqual(planBench(season(7)));
  });
});

describe('one machine, jobs of several units with due times', () => {
  // Jackson (1955), from memory: in order of due times the largest lateness is the least, and with
  // one common start it is the worst shortage of Hall's condition. Instances: the first attributed
  // to a textbook from memory, the second published, the third from memory; lateness computed.
  test.each([
    [[3, 2, 1, 4, 3, 2], [6, 8, 9, 9, 14, 15], 1],
    [[3, 2, 1, 4, 3, 2], [6, 8, 9, 9, 10, 11], 4],
    [[7, 8, 4, 6, 6], [9, 17, 18, 19, 21], 10],
  ])('p %o, d %o: largest lateness %i', (p, d, largest) => {
    const { weeks, visits } = oneMachine(p, d);
    const { jams } = jamsOf(readHorizon(weeks, visits));
    const shortages = jams.map(({ need, room }) => need - room);
    expect(Math.max(...shortages)).toBe(largest);
  });
});

function season(seed: number): Instance {
  let state = seed;
  const random = () => {
    state = (Math.imul(state, 1103515245) + 12345) >>> 0;
    return state / 2 ** 32;
  };
  const weeks = Array.from({ length: 26 }, (_, i) => ({
    id: i + 1,
    capacity: 18 + Math.floor(random() * 12),
  }));
  const visits = Array.from({ length: 200 }, (_, i) => {
    const due = 1 + Math.floor(random() * 26);
    return {
      id: i,
      places: [1, 4, 4, 4, 8][Math.floor(random() * 5)] ?? 4,
      earliest: Math.max(1, due - 4),
      latest: Math.min(26, due + 3),
    };
  });
  return { weeks, visits };
}

/** Weeks of one unit each; all jobs may begin at once. */
function oneMachine(p: readonly number[], d: readonly number[]) {
  const weeks = Array.from({ length: Math.max(...d) }, (_, i) => ({ id: i + 1, capacity: 1 }));
  const visits = p.map((places, id) => ({ id, places, earliest: 1, latest: d[id] ?? 0 }));
  return { weeks, visits };
}
