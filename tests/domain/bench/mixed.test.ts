import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
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

describe('one machine: weeks of one unit each, due times as windows', () => {
  // p and d of a textbook instance (attribution from memory); optimum computed: two jobs are late.
  test('dropping the longest (Moore 1968) keeps three of five on one run of the bench', () => {
    const p = [7, 8, 4, 6, 6];
    const d = [9, 17, 18, 19, 21];
    expect(mooreHodgson(p, d)).toBe(3);
    // Due times cut the run into stretches of bench; a job that may be split over them is relaxed.
    const ends = [9, 17, 18, 19, 21];
    const room = ends.map((end, i) => end - (ends[i - 1] ?? 0));
    const bound = relaxedBound(
      room,
      p.map((places, i) => ({
        id: i,
        places,
        earliest: 0,
        latest: ends.indexOf(d[i] ?? 0),
        offered: -1,
        wasOffered: false,
      })),
    );
    expect(bound).toBeGreaterThanOrEqual(3);
  });
});

/** Moore's and Hodgson's rule: in order of due times; when one is late, the longest so far goes. */
function mooreHodgson(p: readonly number[], d: readonly number[]): number {
  const kept: number[] = [];
  const order = [...p.keys()].sort((a, b) => (d[a] ?? 0) - (d[b] ?? 0));
  for (const job of order) {
    kept.push(p[job] ?? 0);
    if (kept.reduce((sum, length) => sum + length, 0) > (d[job] ?? 0)) {
      kept.splice(kept.indexOf(Math.max(...kept)), 1);
    }
  }
  return kept.length;
}

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
