import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { planBench } from '../../../src/domain/bench/plan.ts';
import { relaxedBound } from '../../../src/domain/bench/relaxed.ts';
import { instances } from './oracle.ts';
import type { Instance } from './oracle.ts';
import { mostByHighs } from './solver.ts';

/** How often a solver is asked: for bounds of so many small plans, and for the best of these seasons. */
export interface SolverAsked {
  readonly bounds: number;
  readonly seasons: readonly number[];
}

/** Tries plans of visits of mixed lengths against what HiGHS finds. */
export function tryAgainstSolver({ bounds, seasons }: SolverAsked): void {
  describe('visits of mixed lengths against a solver', () => {
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
        { numRuns: bounds },
      );
    });

    // 26 weeks, windows of eight, visits of half an hour, two and four hours: as a shop has them.
    test.each(seasons)(
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
  });
}

/** A season of a shop, the same for a seed. */
export function season(seed: number): Instance {
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
