import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { planBench } from '../../../src/domain/bench/plan.ts';
import {
  bestByBruteForce,
  earliestDueFirst,
  instances,
  scoreOf,
  jamsByCounting,
} from './oracle.ts';
import type { Instance } from './oracle.ts';
import { mostByHighs, mostByLpSolver } from './solver.ts';
import { runs } from '../../setup/runs.ts';

const EIGHT = [
  ['A', 1, 1],
  ['B', 1, 2],
  ['C', 1, 2],
  ['D', 2, 3],
  ['E', 1, 4],
  ['F', 3, 3],
  ['G', 2, 3],
  ['H', 4, 4],
] as const;

function eight(...capacities: number[]): Instance {
  return {
    weeks: capacities.map((capacity, i) => ({ id: i + 1, capacity })),
    visits: EIGHT.map(([id, earliest, latest]) => ({ id, places: 1, earliest, latest })),
  };
}

describe('eight visits over four weeks (own instance; earliest due first, HiGHS, javascript-lp-solver)', () => {
  test('with two places a week all eight are on time, as earliest due first has them', async () => {
    const instance = eight(2, 2, 2, 2);
    const plan = planBench(instance);
    expect(plan.placed).toHaveLength(8);
    expect(plan.jams).toEqual([]);
    expect(plan.gap).toEqual({ bound: 8, placed: 8 });
    const stated = { A: 1, B: 1, C: 2, D: 2, F: 3, G: 3, E: 4, H: 4 };
    expect(Object.fromEntries(earliestDueFirst(instance))).toEqual(stated);
    expect(Object.fromEntries(plan.placed.map(({ id, week }) => [id, week]))).toEqual(stated);
    expect(await mostByHighs(instance)).toBeCloseTo(8, 6);
    expect(mostByLpSolver(instance)).toBe(8);
  });

  test('with one place in week 2 seven are on time, where earliest due first has six', async () => {
    const instance = eight(2, 1, 2, 2);
    const plan = planBench(instance);
    expect(plan.placed).toHaveLength(7);
    expect(plan.unplaced).toHaveLength(1);
    expect(await mostByHighs(instance)).toBeCloseTo(7, 6);
    expect(mostByLpSolver(instance)).toBe(7);
    const latest = new Map<string | number, number>(EIGHT.map(([id, , last]) => [id, last]));
    const late = [...earliestDueFirst(instance)].map(([id, w]) => w - (latest.get(id) ?? 0));
    expect(late.filter((weeks) => weeks > 0)).toEqual([1, 1]);
  });

  test('a fifth week takes the visit that finds no room', () => {
    const plan = planBench(eight(2, 1, 2, 2, 1));
    expect(plan.placed).toHaveLength(7);
    // One of A, B, C, D, F and G must go (weeks 1–3 are jammed), and week 3 is the last of theirs.
    expect(plan.outside).toEqual([{ id: expect.any(String), week: 5, latenessWeeks: 2 }]);
    expect(plan.unplaced).toEqual([]);
  });
});

describe('goals in strict order', () => {
  test('least lateness decides between plans with as many in their windows', () => {
    const weeks = [1, 0, 1, 1].map((capacity, i) => ({ id: i + 1, capacity }));
    const visits = [
      { id: 'a', places: 1, earliest: 1, latest: 1 },
      { id: 'b', places: 1, earliest: 1, latest: 2 },
    ];
    expect(planBench({ weeks, visits }).outside).toEqual([{ id: 'b', week: 3, latenessWeeks: 1 }]);
  });

  test('an offer is kept unless a visit would fall out of its window or be later for it', () => {
    const weeks = [1, 1].map((capacity, i) => ({ id: i + 1, capacity }));
    const a = { id: 'a', places: 1, earliest: 1, latest: 2 };
    const kept = planBench({ weeks, visits: [{ ...a, offered: 2 }] });
    expect(kept.placed).toEqual([{ id: 'a', week: 2 }]);
    const b = { id: 'b', places: 1, earliest: 2, latest: 2 };
    const moved = planBench({ weeks, visits: [{ ...a, offered: 2 }, b] });
    expect(moved.placed).toEqual([
      { id: 'a', week: 1 },
      { id: 'b', week: 2 },
    ]);
  });

  test('equals the best of all assignments in all goals (brute force)', () => {
    fc.assert(
      fc.property(instances(6, [1]), (instance) => {
        expect(scoreOf(planBench(instance), instance.visits)).toEqual(bestByBruteForce(instance));
      }),
      { numRuns: runs(400) },
    );
  });

  test('equals it too where all visits take three places and weeks have odd ends', () => {
    fc.assert(
      fc.property(instances(5, [3]), (instance) => {
        const plan = planBench(instance);
        expect(scoreOf(plan, instance.visits)).toEqual(bestByBruteForce(instance));
        expect(plan.gap.bound).toBe(plan.gap.placed);
      }),
      { numRuns: runs(200) },
    );
  });

  test('puts as many in their windows as two solvers do (HiGHS, javascript-lp-solver)', async () => {
    await fc.assert(
      fc.asyncProperty(instances(14, [1]), async (instance) => {
        const { placed } = planBench(instance);
        expect(placed).toHaveLength(Math.round(await mostByHighs(instance)));
        expect(placed).toHaveLength(mostByLpSolver(instance));
      }),
      { numRuns: runs(60) },
    );
  });

  test('earliest due first is on time for all, Hall holds, and all are placed: all or none', () => {
    let fits = 0;
    let jammed = 0;
    fc.assert(
      fc.property(instances(7, [1]), (instance) => {
        const due = new Map(instance.visits.map((visit) => [visit.id, visit.latest]));
        const onTime = [...earliestDueFirst(instance)].every(
          ([id, week]) => week <= (due.get(id) ?? 0) && week <= instance.weeks.length,
        );
        const weeks = instance.weeks.map(({ capacity }, i) => ({ id: i + 1, capacity }));
        const hall = jamsByCounting(weeks, instance.visits).length === 0;
        const all = planBench(instance).placed.length === instance.visits.length;
        expect([onTime, hall]).toEqual([all, all]);
        if (all) fits += 1;
        else jammed += 1;
      }),
      { numRuns: runs(400) },
    );
    expect(Math.min(fits, jammed)).toBeGreaterThan(20);
  });
});

describe('booked visits', () => {
  test('never move, take their room first, and the rest is still the best of all', () => {
    const drawn = instances(6, [1]).chain((instance) =>
      fc.tuple(fc.constant(instance), fc.array(fc.integer({ min: 1, max: 4 }), { maxLength: 3 })),
    );
    fc.assert(
      fc.property(drawn, ([instance, bookings]) => {
        const last = instance.weeks.length;
        const visits = instance.visits.map((visit, i) => {
          const booking = bookings[i];
          return booking === undefined ? visit : { ...visit, fixed: Math.min(booking, last) };
        });
        const plan = planBench({ weeks: instance.weeks, visits });
        const at = new Map([...plan.placed, ...plan.outside].map(({ id, week }) => [id, week]));
        const stays = visits.flatMap((visit) => ('fixed' in visit ? [visit] : []));
        expect(stays.map(({ id }) => at.get(id))).toEqual(stays.map(({ fixed }) => fixed));
        const open = visits.filter((visit) => !('fixed' in visit));
        const openIds = new Set(open.map((visit) => visit.id));
        const openPlan = {
          ...plan,
          placed: plan.placed.filter(({ id }) => openIds.has(id)),
          outside: plan.outside.filter(({ id }) => openIds.has(id)),
        };
        const best = bestByBruteForce({ weeks: instance.weeks, visits });
        expect(scoreOf(openPlan, open)).toEqual(best);
      }),
      { numRuns: runs(200) },
    );
  });

  test('more booked than a week has is said, and leaves no room there', () => {
    const plan = planBench({
      weeks: [
        { id: '2026-W22', capacity: 4 },
        { id: '2026-W23', capacity: 4 },
      ],
      visits: [
        { id: 1, places: 6, earliest: '2026-W22', latest: '2026-W23', fixed: '2026-W22' },
        { id: 2, places: 4, earliest: '2026-W22', latest: '2026-W23' },
      ],
    });
    expect(plan.overbooked).toEqual([{ week: '2026-W22', booked: 6, capacity: 4 }]);
    expect(plan.placed).toEqual([
      { id: 1, week: '2026-W22' },
      { id: 2, week: '2026-W23' },
    ]);
  });

  test('a booking outside the window stands outside, with the weeks it is late or early', () => {
    const weeks = [1, 2, 3, 4].map((id) => ({ id, capacity: 1 }));
    const plan = planBench({
      weeks,
      visits: [
        { id: 'late', places: 1, earliest: 1, latest: 2, fixed: 4 },
        { id: 'early', places: 1, earliest: 3, latest: 4, fixed: 1 },
      ],
    });
    expect(plan.outside).toEqual([
      { id: 'late', week: 4, latenessWeeks: 2 },
      { id: 'early', week: 1, latenessWeeks: -2 },
    ]);
  });
});

describe('windows over the edge of the horizon', () => {
  const weeks = ['2026-W52', '2026-W53', '2027-W01'].map((id) => ({ id, capacity: 1 }));

  test('are clipped, late from the first week, or not placed', () => {
    const plan = planBench({
      weeks,
      visits: [
        { id: 'clipped', places: 1, earliest: '2026-W49', latest: '2026-W52' },
        { id: 'over', places: 1, earliest: '2026-W40', latest: '2026-W45' },
        { id: 'ahead', places: 1, earliest: '2027-W02', latest: '2027-W09' },
        { id: 'open end', places: 1, earliest: '2027-W01', latest: '2027-W04' },
      ],
    });
    expect(plan.placed).toEqual([
      { id: 'clipped', week: '2026-W52' },
      { id: 'open end', week: '2027-W01' },
    ]);
    expect(plan.outside).toEqual([{ id: 'over', week: '2026-W53', latenessWeeks: 2 }]);
    expect(plan.unplaced).toEqual([{ id: 'ahead', reason: 'after-horizon' }]);
  });

  test('weeks of one digit and two sort as numbers', () => {
    const plan = planBench({
      weeks: ['w9', 'w10', 'w11'].map((id) => ({ id, capacity: 1 })),
      visits: [{ id: 'x', places: 1, earliest: 'w2', latest: 'w9' }],
    });
    expect(plan.placed).toEqual([{ id: 'x', week: 'w9' }]);
  });
});

describe('bad input names its field', () => {
  const weeks = [{ id: 1, capacity: 1 }];
  const visit = { id: 'a', places: 1, earliest: 1, latest: 1 };
  test.each([
    ['weeks', { weeks: [], visits: [] }],
    ['weeks[0].capacity', { weeks: [{ id: 1, capacity: Number.NaN }], visits: [] }],
    ['weeks[0].capacity', { weeks: [{ id: 1, capacity: -1 }], visits: [] }],
    ['weeks[1].id', { weeks: [...weeks, ...weeks], visits: [] }],
    ['visits[1].id', { weeks, visits: [visit, visit] }],
    ['visits[0].places', { weeks, visits: [{ ...visit, places: 0 }] }],
    ['visits[0].places', { weeks, visits: [{ ...visit, places: 1.5 }] }],
    ['visits[0].latest', { weeks, visits: [{ ...visit, earliest: 3, latest: 2 }] }],
    ['visits[0].latest', { weeks, visits: [{ ...visit, latest: 0 }] }],
    [
      'visits[0].earliest',
      {
        weeks: [
          { id: 'b', capacity: 1 },
          { id: 'a', capacity: 1 },
        ],
        visits: [{ ...visit, earliest: 'c', latest: 'a' }],
      },
    ],
  ])('%s', (field, input) => {
    expect(() => planBench(input)).toThrow(expect.objectContaining({ field }));
  });

  test('weeks without any bench place nobody and say where it jams', () => {
    const plan = planBench({ weeks: [{ id: 1, capacity: 0 }], visits: [visit] });
    expect(plan.unplaced).toEqual([{ id: 'a', reason: 'no-room' }]);
    expect(plan.jams).toEqual([{ from: 1, to: 1, need: 1, room: 0 }]);
  });
});
