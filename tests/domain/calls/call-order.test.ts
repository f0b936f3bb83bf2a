import * as fc from 'fast-check';
import { jStat } from './beta.ts';
import { describe, expect, test } from 'vitest';
import { valuesOf } from '../../../src/domain/figures/figure.ts';
import { calibrationOf, outcomesOf, tallyOf } from '../../../src/domain/calls/calibration.ts';
import { CALL_FIGURES } from '../../../src/domain/calls/call-figures.ts';
import { callOrder, expectedLoss, timeInWords } from '../../../src/domain/calls/call-order.ts';
import type { CallCandidate, CallListItem } from '../../../src/domain/calls/call-order.ts';
import { costOf, deedsFor } from '../../../src/domain/calls/cures.ts';
import { DAMAGES } from '../../../src/domain/calls/damages.ts';
import { CALL_OUTCOMES, shareAfterCalls } from '../../../src/domain/calls/earlier-calls.ts';
import { PIVOT_STATES } from '../../../src/domain/pivots/state.ts';

const VALUES = valuesOf(CALL_FIGURES);
const TODAY = '2027-03-01';

function car(carId: string, more: Partial<CallCandidate> = {}): CallCandidate {
  return {
    carId,
    ownerId: `owner-${carId}`,
    stateWords: [],
    missingWashers: 0,
    overdueDays: 0,
    foldedOverDays: 0,
    damp: false,
    oilMinutes: 105,
    visitBooked: false,
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
    notLookedAtDays: fc.option(fc.nat(400)),
    visitBooked: fc.boolean(),
    washerLifeChance: fc.double({ min: 0, max: 1, noNaN: true }),
    faults: fc.subarray(['cover-shrunk', 'tailgate-seal-missing', 'plastic-window-aged', 'mould']),
  })
  .map((signs) => car('a', signs));

describe('the one deed for a car', () => {
  test('never asks to raise, or to oil, a top that a joint or the frame forbids to move', () => {
    const signs = fc.oneof(
      fc
        .constantFrom('seized' as const, 'sheared', 'oval')
        .map((state): Partial<CallCandidate> => ({
          stateWords: [{ pivot: 'R-MAIN', state }],
        })),
      fc.constant<Partial<CallCandidate>>({ frame: 'act' }),
      fc.constant<Partial<CallCandidate>>({ mustStay: true }),
    );
    const rest = fc.record({
      foldedOverDays: fc.nat(60),
      damp: fc.boolean(),
      overdueDays: fc.nat(400),
    });
    fc.assert(
      fc.property(signs, rest, fc.boolean(), (forbidding, more, visitBooked) => {
        const items = callOrder([car('a', { ...more, ...forbidding, visitBooked })], TODAY, VALUES);
        for (const { deed, reason } of items) {
          expect(`${deed.words} ${reason}`).not.toMatch(/raise|oiling,|an oiling/);
        }
      }),
    );
    expect(only({ foldedOverDays: 21 }).deed.words).toBe('ring: ask to raise it');
    const both = only({ foldedOverDays: 21, stateWords: [{ pivot: 'R-MAIN', state: 'seized' }] });
    expect(both.deed.words).toContain('offer a repair of the right main');
  });

  // The damage of a top folded too long is a cover; its cure is a word to the owner.
  test.each([
    [
      { foldedOverDays: 21 },
      'ring: ask to raise it, 2 min (folded 21 days past its limit; at stake: a new cover, about 24 h)',
    ],
    [
      { foldedOverDays: 2, damp: true },
      'ring: ask to raise it and let it dry, 2 min (folded damp; folded 2 days past its limit; at stake: cleaning mould out of the lining, about 4½ h; a new cover, about 24 h)',
    ],
    [
      { stateWords: [{ pivot: 'L-MAIN', state: 'stiff' }] },
      'offer a look at the left main, 45 min (left main is stiff; at stake: drilling out a joint, about 6½ h)',
    ],
    [
      { overdueDays: 90 },
      'offer an oiling, 1¾ h (oiling 90 days overdue; at stake: drilling out a joint, about 6½ h)',
    ],
    // Days that nobody counted from an oiling are not told as its delay.
    [
      { overdueDays: 13_331, neverOiled: true },
      'offer an oiling, 1¾ h (no oiling on record; at stake: drilling out a joint, about 6½ h)',
    ],
    [
      { faults: ['tailgate-seal-missing'] },
      'offer a new tailgate seal, 20 min (the tailgate seal is gone; at stake: rust in the lid, about 8 h)',
    ],
    [
      { notLookedAtDays: 63 },
      'offer a second look at the joint that was stiff or was repaired, 30 min (a joint that was stiff or was repaired 63 days ago was not looked at since; at stake: drilling out a joint, about 6½ h)',
    ],
  ] as const)('of %j: %s', (signs, reason) => {
    expect(only(signs as Partial<CallCandidate>).reason).toBe(reason);
  });

  // A look at what is known to be spent saves nothing; what its renewal still saves is what water would do.
  test.each([
    [
      { faults: ['cover-shrunk'], agreed: [{ fault: 'cover-shrunk', pivot: null }] },
      'ring: book the agreed work, 2 min (the cover has shrunk; at stake: cleaning mould out of the lining, about 4½ h)',
    ],
    [
      { faults: ['plastic-window-aged'], agreed: [{ fault: 'plastic-window-aged', pivot: null }] },
      'ring: book the agreed work, 2 min (the window fails; at stake: cleaning mould out of the lining, about 4½ h)',
    ],
    [
      { faults: ['frame-shakes'], agreed: [{ fault: 'frame-shakes', pivot: null }] },
      'ring: book the agreed work, 2 min (the frame moves; at stake: a bent frame, about 13 h)',
    ],
    [
      {
        stateWords: [{ pivot: 'L-MAIN', state: 'stiff' }],
        agreed: [{ fault: 'pivot-stiff', pivot: 'L-MAIN' }],
      },
      'ring: book the agreed work, 2 min (left main is stiff; at stake: drilling out a joint, about 6½ h)',
    ],
    [
      { missingWashers: 2, agreed: [{ fault: 'washers-missing', pivot: null }] },
      'ring: book the agreed work, 2 min (2 washers missing; at stake: a bent frame, about 13 h)',
    ],
  ] as const)('of work agreed and not booked: %j', (signs, reason) => {
    const more = signs as Partial<CallCandidate>;
    expect(only(more).reason).toBe(reason);
    expect(callOrder([car('booked', { ...more, visitBooked: true })], TODAY)).toEqual([]);
  });

  test('is no look at a cover or a glass known to be spent, and counts neither as still to be avoided', () => {
    expect(
      callOrder([car('a', { faults: ['cover-shrunk', 'bonded-glass-lifting'] })], TODAY),
    ).toEqual([]);
    const item = only({ faults: ['cover-shrunk'], overdueDays: 90 });
    expect(item.causes.map(({ kind }) => kind)).toEqual(['oil-overdue']);
    // A hazed panel may yet be polished.
    expect(only({ faults: ['plastic-window-aged'] }).reason).toContain('offer a look');
  });

  test('names the joint whose work is agreed, and offers the others beside it in one visit', () => {
    const stateWords = [
      { pivot: 'L-MAIN', state: 'stiff' as const },
      { pivot: 'R-MAIN', state: 'stiff' as const },
    ];
    const agreed = [{ fault: 'pivot-stiff', pivot: 'L-MAIN' }];
    const cures = only({ stateWords, agreed }).causes.map(({ words, cure }) => [words, cure]);
    expect(cures).toEqual([
      ['left main is stiff', 'book-agreed'],
      ['right main is stiff', 'joint'],
    ]);
    const slow = { ...VALUES, ringMinutes: 600 };
    const both = only({ stateWords, agreed }, slow).deed;
    expect(both.words).toBe('offer a look at the right main');
    const deeds = deedsFor(
      only({ stateWords, agreed }).causes,
      { oilMinutes: 105, visitBooked: false, mustStay: false },
      VALUES,
    ).map(({ words }) => words);
    expect(deeds).toContain('offer one visit for the agreed work and a look at the right main');
  });

  test('counts days past the limit that are over, though one begun harms as a whole one', () => {
    const reason = (foldedOverDays: number) => only({ foldedOverDays }).reason;
    expect(reason(0.1)).toContain('(folded less than a day past its limit;');
    expect(reason(1.9)).toContain('(folded one day past its limit;');
    expect(reason(2.1)).toContain('(folded 2 days past its limit;');
    expect(only({ foldedOverDays: 2.1 }).chance).toBe(only({ foldedOverDays: 3 }).chance);
  });

  test('of a joint that is still stiff is one look, counted once', () => {
    const stiff = { stateWords: [{ pivot: 'L-MAIN', state: 'stiff' as const }] };
    const kinds = only({ ...stiff, notLookedAtDays: 63 }).causes.map(({ kind }) => kind);
    expect(kinds).toEqual(['stiff']);
  });

  test('is what saves most a minute, not what is worst', () => {
    const both = only({ foldedOverDays: 21, overdueDays: 400 });
    expect(both.deed.words).toBe('ring: ask to raise it');
    expect(both.savesHours).toBeLessThan(both.lossHours);
  });

  test('is left out where there is nothing to gain, or a booked visit will cure it', () => {
    expect(callOrder([car('fine')], TODAY)).toEqual([]);
    const bench = { overdueDays: 200, stateWords: [{ pivot: 'L-MAIN', state: 'stiff' as const }] };
    expect(callOrder([car('booked', { ...bench, visitBooked: true })], TODAY)).toEqual([]);
    const folded = only({ ...bench, foldedOverDays: 9, visitBooked: true });
    expect(folded.deed.words).toBe('ring: ask to raise it');
  });
});

describe('the loss', () => {
  test('counts a damage once, however many causes work at it', () => {
    fc.assert(
      fc.property(anyCar, (one) => {
        for (const { lossHours, savesHours, causes } of callOrder([one], TODAY)) {
          const most = [...new Set(causes.map(({ damage }) => damage))];
          expect(lossHours).toBeLessThanOrEqual(
            most.reduce((sum, damage) => sum + costOf(damage, VALUES), 0) + 1e-9,
          );
          expect(savesHours).toBeLessThanOrEqual(lossHours + 1e-9);
          for (const damage of DAMAGES) {
            const own = causes.filter((cause) => cause.damage === damage);
            expect(expectedLoss(own, VALUES)).toBeLessThanOrEqual(costOf(damage, VALUES) + 1e-9);
          }
        }
      }),
    );
  });

  test('never falls with one cause more', () => {
    fc.assert(
      fc.property(anyCar, fc.integer({ min: 1, max: 60 }), (one, days) => {
        const loss = (who: CallCandidate) => callOrder([who], TODAY)[0]?.lossHours ?? 0;
        const calm = { ...one, foldedOverDays: 0, visitBooked: false };
        expect(loss({ ...calm, foldedOverDays: days })).toBeGreaterThanOrEqual(loss(calm) - 1e-9);
      }),
    );
  });

  test('adds independent causes of one damage as 1 − ∏ (1 − p)', () => {
    const { lossHours } = only({
      stateWords: [
        { pivot: 'L-MAIN', state: 'stiff' },
        { pivot: 'R-MAIN', state: 'stiff' },
      ],
    });
    const joint = VALUES.repairHours + VALUES.repairPartsHours;
    expect(lossHours).toBeCloseTo((1 - (1 - VALUES.stiff) ** 2) * joint, 12);
  });

  test('has a most for days folded and for overdue oil', () => {
    expect(only({ overdueDays: 5000 }).chance).toBeCloseTo(VALUES.overdueMost, 12);
    expect(only({ foldedOverDays: 500 }).chance).toBeCloseTo(VALUES.foldedOverMost, 12);
  });

  test('follows the figures of the organisation', () => {
    const own = valuesOf(CALL_FIGURES, { stiff: 0.5 });
    const signs = { stateWords: [{ pivot: 'L-MAIN', state: 'stiff' as const }] };
    expect(only(signs, own).chance).toBeCloseTo(0.5, 12);
  });
});

describe('order', () => {
  test('is by hours saved a minute', () => {
    const list = callOrder(
      [
        car('overdue', { overdueDays: 120 }),
        car('folded', { foldedOverDays: 10 }),
        car('fine'),
        car('stiff', { stateWords: [{ pivot: 'L-MAIN', state: 'stiff' }] }),
      ],
      TODAY,
    );
    expect(list.map(({ carId }) => carId)).toEqual(['folded', 'stiff', 'overdue']);
    expect(list[0]?.score).toBeCloseTo(((1 - 0.98 ** 10) * 24) / 2, 12);
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
    const tied = ['b', 'c', 'a'].map((id) => car(id, { damp: true }));
    expect(callOrder(tied, TODAY).map(({ carId }) => carId)).toEqual(['a', 'b', 'c']);
  });

  test('leaves out those who refused calls', () => {
    const list = callOrder(
      [car('a', { refusedCalls: true, damp: true }), car('b', { damp: true })],
      TODAY,
    );
    expect(list.map(({ carId }) => carId)).toEqual(['b']);
  });

  test('nobody to call is an empty list', () => {
    expect(callOrder([], TODAY)).toEqual([]);
  });
});

describe('the organisation’s own outcomes', () => {
  const record = (found: readonly (readonly [string, (typeof PIVOT_STATES)[number]])[]) => ({
    code: 'L-MAIN',
    kind: 'main' as const,
    washersExpected: 2,
    readings: [],
    washers: [],
    repairs: [],
    oiledOn: [],
    states: found.map(([doneOn, state]) => ({ doneOn, state })),
  });

  test('take the place of the shop rule once there are enough, as a Beta posterior', () => {
    // 52 joints that stood stiff for eight weeks; 8 were seized at the next look.
    const records = Array.from({ length: 52 }, (_, i) =>
      record([
        ['2026-01-01', 'stiff'],
        ['2026-02-26', i < 8 ? 'seized' : 'free'],
      ]),
    );
    const stiff = outcomesOf([tallyOf(records)], VALUES).find(({ cause }) => cause === 'stiff');
    const a = VALUES.priorSpans * VALUES.stiff + 8;
    const b = VALUES.priorSpans * (1 - VALUES.stiff) + 52 - 8;
    // The mean of the Beta distribution by an independent package.
    expect(stiff?.used).toBeCloseTo(jStat.beta.mean(a, b), 10);
    expect(stiff?.words).toBe('shop rule 8.0 %; yours 8 in 52 spans of eight weeks: 13.3 %');
    expect(calibrationOf(outcomesOf([tallyOf(records)], VALUES))).toEqual({ stiff: stiff?.used });
  });

  test('know how repaired joints were found at the next look', () => {
    const repaired = Array.from({ length: 50 }, (_, i) => ({
      ...record([
        ['2026-01-01', 'stiff'],
        ['2026-02-26', i < 5 ? 'seized' : 'free'],
      ]),
      repairs: ['2026-01-01'],
    }));
    const found = outcomesOf([tallyOf(repaired)], VALUES);
    expect(found.find(({ cause }) => cause === 'stiff')?.spans).toBe(0);
    const { spans, seen, used } = found.find(({ cause }) => cause === 'repaired') ?? {};
    expect([spans, seen]).toEqual([50, 5]);
    // The mean of the Beta distribution by an independent package.
    const a = VALUES.priorSpans * VALUES.repaired + 5;
    const b = VALUES.priorSpans * (1 - VALUES.repaired) + 50 - 5;
    expect(used).toBeCloseTo(jStat.beta.mean(a, b), 10);
    const mendedAgain = repaired.map((one) => ({ ...one, repairs: ['2026-01-01', '2026-02-01'] }));
    expect(outcomesOf([tallyOf(mendedAgain)], VALUES).map(({ spans: none }) => none)).toEqual([
      0, 0, 0, 0, 0,
    ]);
  });

  test('leave the shop rule alone while they are few, and know what was cured', () => {
    const few = [
      record([
        ['2026-01-01', 'dry'],
        ['2026-02-26', 'seized'],
      ]),
    ];
    expect(calibrationOf(outcomesOf([tallyOf(few)], VALUES))).toEqual({});
    const oiled = Array.from({ length: 60 }, () => ({
      ...record([
        ['2026-01-01', 'dry'],
        ['2026-02-26', 'seized'],
      ]),
      oiledOn: ['2026-01-01'],
    }));
    expect(outcomesOf([tallyOf(oiled)], VALUES).find(({ cause }) => cause === 'dry')).toMatchObject(
      {
        spans: 0,
        seen: 0,
      },
    );
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
      damp: true,
      lastCalls: [{ on: '2027-02-28', outcome: 'reached' }],
    });
    const list = callOrder([rung, car('b', { damp: true })], TODAY);
    expect(list.map(({ carId }) => carId)).toEqual(['b', 'a']);
    expect(list[1]?.chance).toBe(list[0]?.chance);
  });
});

describe('time in words', () => {
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

test.each([
  [{ oilMinutes: 0 }, /car a: oilMinutes/],
  [{ oilMinutes: Number.NaN }, /car a: oilMinutes/],
  [{ missingWashers: -1 }, /car a: missingWashers/],
  [{ missingWashers: 1.5 }, /car a: missingWashers/],
  [{ overdueDays: Number.NaN }, /car a: overdueDays/],
  [{ foldedOverDays: Number.NaN }, /car a: foldedOverDays/],
  [{ washerLifeChance: 1.1 }, /car a: washerLifeChance/],
  [
    { damp: true, lastCalls: [{ on: '2027-02-30', outcome: 'reached' }] },
    /car a: call on 2027-02-30/,
  ],
] as const)('refuses %j', (bad, message) => {
  expect(() => callOrder([car('a', bad)], TODAY)).toThrow(message);
});

test('refuses a today that is no day', () => {
  expect(() => callOrder([], '2027-13-01')).toThrow(/today/);
});
