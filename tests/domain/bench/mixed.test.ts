import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { jamsOf } from '../../../src/domain/bench/hall.ts';
import { readHorizon } from '../../../src/domain/bench/horizon.ts';
import { planBench } from '../../../src/domain/bench/plan.ts';
import { season } from './mixed.ts';
import { bestByBruteForce, instances, scoreOf } from './oracle.ts';
import { runs } from '../../setup/runs.ts';

// What a solver finds of larger ones is asked in `mixed.long.test.ts`.
describe('visits of mixed lengths', () => {
  test('small plans equal the best of all assignments in all goals (brute force)', () => {
    fc.assert(
      fc.property(instances(6, [1, 2, 3]), (instance) => {
        const plan = planBench(instance);
        expect(scoreOf(plan, instance.visits)).toEqual(bestByBruteForce(instance));
        expect(plan.gap.placed).toBe(plan.placed.length);
      }),
      { numRuns: runs(300) },
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
      { numRuns: runs(100) },
    );
  });

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

/** Weeks of one unit each; all jobs may begin at once. */
function oneMachine(p: readonly number[], d: readonly number[]) {
  const weeks = Array.from({ length: Math.max(...d) }, (_, i) => ({ id: i + 1, capacity: 1 }));
  const visits = p.map((places, id) => ({ id, places, earliest: 1, latest: d[id] ?? 0 }));
  return { weeks, visits };
}
