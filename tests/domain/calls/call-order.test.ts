import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { valuesOf } from '../../../src/domain/figures/figure.ts';
import { CALL_FIGURES } from '../../../src/domain/calls/call-figures.ts';
import { callOrder, timeInWords } from '../../../src/domain/calls/call-order.ts';
import type { CallCandidate, CallListItem } from '../../../src/domain/calls/call-order.ts';
import { usualRepairHours } from '../../../src/domain/calls/damage.ts';
import { CALL_OUTCOMES, shareAfterCalls } from '../../../src/domain/calls/earlier-calls.ts';
import { PIVOT_STATES, VERDICTS } from '../../../src/domain/pivots/state.ts';

const VALUES = valuesOf(CALL_FIGURES);
const TODAY = '2027-03-01';

function car(carId: string, more: Partial<CallCandidate> = {}): CallCandidate {
  return {
    carId,
    ownerId: `owner-${carId}`,
    verdict: 'good',
    stateWords: [],
    missingWashers: 0,
    overdueDays: 0,
    foldedOverDays: 0,
    damp: false,
    repairCost: 6,
    minutes: 105,
    refusedCalls: false,
    lastCalls: [],
    ...more,
  };
}

function only(more: Partial<CallCandidate>, values = VALUES): CallListItem {
  const [item] = callOrder([car('a', more)], TODAY, values);
  if (item === undefined) throw new Error('left out');
  return item;
}

const anyCar = fc
  .record({
    verdict: fc.constantFrom(...VERDICTS),
    stateWords: fc.array(
      fc.record({
        pivot: fc.constantFrom('L-MAIN', 'R-LINK2'),
        state: fc.constantFrom(...PIVOT_STATES),
      }),
      { maxLength: 4 },
    ),
    missingWashers: fc.nat(8),
    overdueDays: fc.integer({ min: -100, max: 800 }),
    foldedOverDays: fc.integer({ min: -5, max: 90 }),
    damp: fc.boolean(),
    washerLifeChance: fc.double({ min: 0, max: 1, noNaN: true }),
  })
  .map((signs) => car('a', signs));

describe('chance of damage', () => {
  test('is one minus the product of the chances that nothing comes of each sign', () => {
    const { chance } = only({
      verdict: 'act',
      stateWords: [
        { pivot: 'L-MAIN', state: 'seized' },
        { pivot: 'R-LINK1', state: 'dry' },
      ],
      missingWashers: 2,
      overdueDays: 60,
      foldedOverDays: 3,
      damp: true,
      washerLifeChance: 0.2,
    });
    const none = (1 - 0.12) * (1 - 0.4) * (1 - 0.01) * 0.97 ** 2 * 0.985 ** 2 * 0.98 ** 3;
    expect(chance).toBeCloseTo(1 - none * (1 - 0.1) * (1 - 0.2 * 0.25), 12);
  });

  test('never falls when a sign is added or made worse', () => {
    fc.assert(
      fc.property(anyCar, (before) => {
        const { chance } = only(before);
        const worse: Partial<CallCandidate>[] = [
          { missingWashers: before.missingWashers + 1 },
          { overdueDays: before.overdueDays + 20 },
          { foldedOverDays: before.foldedOverDays + 2 },
          { damp: true },
          { verdict: 'act' },
          { stateWords: [...before.stateWords, { pivot: 'R-MAIN', state: 'stiff' }] },
        ];
        for (const change of worse) {
          expect(only({ ...before, ...change }).chance).toBeGreaterThanOrEqual(chance - 1e-12);
        }
        expect(chance).toBeGreaterThanOrEqual(0);
        expect(chance).toBeLessThan(1);
      }),
    );
  });

  test('what is not yet due, and a limit not yet reached, count for nothing', () => {
    expect(only({ overdueDays: -40, foldedOverDays: -2 })).toMatchObject({ chance: 0, causes: [] });
  });

  test('time alone adds no more than the most that is set for it', () => {
    expect(only({ overdueDays: 5000 }).chance).toBeCloseTo(VALUES.overdueMost, 12);
    expect(only({ foldedOverDays: 500 }).chance).toBeCloseTo(VALUES.foldedOverMost, 12);
  });

  test('follows the figures of the organisation', () => {
    const own = valuesOf(CALL_FIGURES, { verdictPlan: 0.5 });
    expect(only({ verdict: 'plan' }, own).chance).toBeCloseTo(0.5, 12);
  });
});

describe('order', () => {
  test('is by chance x cost / minutes', () => {
    const cars = [
      car('cheap', { verdict: 'act', repairCost: 2 }),
      car('long', { verdict: 'act', minutes: 210 }),
      car('first', { verdict: 'act' }),
      car('fine'),
    ];
    const list = callOrder(cars, TODAY);
    expect(list.map(({ carId }) => carId)).toEqual(['first', 'long', 'cheap', 'fine']);
    expect(list[0]?.score).toBeCloseTo((0.12 * 6) / 105, 12);
  });

  test('does not depend on the order in which cars come, ties by car id', () => {
    const some = fc
      .array(anyCar, { maxLength: 8 })
      .map((cars) => cars.map((each, i) => ({ ...each, carId: `car-${i}` })));
    fc.assert(
      fc.property(some, (cars) => {
        const list = callOrder(cars, TODAY);
        expect(callOrder(cars.toReversed(), TODAY)).toEqual(list);
        const scores = list.map(({ score }) => score);
        expect(scores).toEqual(scores.toSorted((a, b) => b - a));
      }),
    );
    const tied = callOrder([car('b'), car('c'), car('a')], TODAY);
    expect(tied.map(({ carId }) => carId)).toEqual(['a', 'b', 'c']);
  });

  test('leaves out those who refused calls', () => {
    const list = callOrder([car('a', { refusedCalls: true, verdict: 'act' }), car('b')], TODAY);
    expect(list.map(({ carId }) => carId)).toEqual(['b']);
  });

  test('nobody to call is an empty list', () => {
    expect(callOrder([], TODAY)).toEqual([]);
  });
});

describe('earlier calls', () => {
  test.each(CALL_OUTCOMES)('"%s" lowers the rank, and less as it grows old', (outcome) => {
    const kept = ['2027-03-01', '2027-02-01', '2026-11-01'].map((on) =>
      shareAfterCalls([{ on, outcome }], TODAY, VALUES),
    );
    expect(kept).toEqual(kept.toSorted((a, b) => a - b));
    expect(kept[0]).toBeGreaterThanOrEqual(0);
    expect(kept.at(-1)).toBeLessThan(1);
    expect(new Set(kept).size).toBe(3);
  });

  test('a call weighs half after its half-life, and calls multiply', () => {
    const month = { on: '2027-02-01', outcome: 'reached' } as const;
    expect(shareAfterCalls([month], TODAY, VALUES)).toBeCloseTo(1 - 0.5 / 2, 12);
    expect(shareAfterCalls([month, month], TODAY, VALUES)).toBeCloseTo(0.75 ** 2, 12);
    expect(shareAfterCalls([], TODAY, VALUES)).toBe(1);
  });

  test('a call dated after today weighs as one made today', () => {
    const late = { on: '2027-05-01', outcome: 'declined' } as const;
    expect(shareAfterCalls([late], TODAY, VALUES)).toBeCloseTo(0.2, 12);
  });

  test('a car rung yesterday stands behind its equal', () => {
    const rung = car('a', {
      verdict: 'act',
      lastCalls: [{ on: '2027-02-28', outcome: 'reached' }],
    });
    const list = callOrder([rung, car('b', { verdict: 'act' })], TODAY);
    expect(list.map(({ carId }) => carId)).toEqual(['b', 'a']);
    expect(list[1]?.chance).toBe(list[0]?.chance);
  });
});

describe('reason', () => {
  test('names the two strongest signs, the cost and the minutes', () => {
    const { reason } = only({
      verdict: 'act',
      stateWords: [{ pivot: 'L-MAIN', state: 'seized' }],
      overdueDays: 40,
    });
    expect(reason).toBe(
      'left main is seized and could shear; oiling 40 days overdue: repair about 6 h, visit 1¾ h',
    );
  });

  test.each([
    [{ verdict: 'plan' }, 'a joint due for work: repair about 6 h, visit 1¾ h'],
    [{ missingWashers: 1 }, 'one washer missing: repair about 6 h, visit 1¾ h'],
    [{}, 'no sign of damage: repair about 6 h, visit 1¾ h'],
    [
      { foldedOverDays: 1, damp: true, minutes: 40 },
      'folded damp; folded one day past its limit: repair about 6 h, visit 40 min',
    ],
  ] as const)('%j', (signs, reason) => {
    expect(only(signs).reason).toBe(reason);
  });

  test('money where the organisation counts in money', () => {
    const [item] = callOrder([car('a', { repairCost: 540 })], TODAY, VALUES, 'EUR');
    expect(item?.reason).toContain('repair about 540 EUR');
  });

  test.each([
    [5, '5 min'],
    [59, '59 min'],
    [60, '1 h'],
    [105, '1¾ h'],
    [119, '2 h'],
    [150, '2½ h'],
    [360, '6 h'],
  ])('%d minutes are %s', (minutes, words) => {
    expect(timeInWords(minutes)).toBe(words);
  });
});

test('a frame moved on a sheared joint costs more than a seized one', () => {
  expect(usualRepairHours([{ pivot: 'L-MAIN', state: 'sheared' }], VALUES)).toBe(10);
  expect(usualRepairHours([{ pivot: 'L-MAIN', state: 'seized' }], VALUES)).toBe(6);
  expect(usualRepairHours([], VALUES)).toBe(6);
});

test.each([
  [{ minutes: 0 }, /car a: minutes/],
  [{ minutes: Number.NaN }, /car a: minutes/],
  [{ repairCost: -1 }, /car a: repairCost/],
  [{ repairCost: Number.POSITIVE_INFINITY }, /car a: repairCost/],
  [{ missingWashers: -1 }, /car a: missingWashers/],
  [{ missingWashers: 1.5 }, /car a: missingWashers/],
  [{ overdueDays: Number.NaN }, /car a: overdueDays/],
  [{ foldedOverDays: Number.NaN }, /car a: foldedOverDays/],
  [{ washerLifeChance: 1.1 }, /car a: washerLifeChance/],
  [{ lastCalls: [{ on: '2027-02-30', outcome: 'reached' }] }, /car a: call on 2027-02-30/],
] as const)('refuses %j', (bad, message) => {
  expect(() => callOrder([car('a', bad)], TODAY)).toThrow(message);
});

test('refuses a today that is no day', () => {
  expect(() => callOrder([], '2027-13-01')).toThrow(/today/);
});
