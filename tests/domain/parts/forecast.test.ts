import { describe, expect, test } from 'vitest';
import { valuesOf } from '../../../src/domain/figures/figure.ts';
import type { PivotOutlook, VisitOutlook } from '../../../src/domain/parts/chance-of-need.ts';
import { needsOfVisit } from '../../../src/domain/parts/chance-of-need.ts';
import { partsForecast as eachPart } from '../../../src/domain/parts/forecast.ts';
import type { PartForecast, PartsOutlook } from '../../../src/domain/parts/forecast.ts';
import { PARTS } from '../../../src/domain/parts/kits.ts';
import type { Part } from '../../../src/domain/parts/kits.ts';
import { PART_FIGURES } from '../../../src/domain/parts/part-figures.ts';
import { partsNeeded } from '../../../src/domain/parts/poisson-binomial.ts';

const partsForecast = (...asked: Parameters<typeof eachPart>) => [...eachPart(...asked)];

const VALUES = valuesOf(PART_FIGURES);

function pivot(code: string, more: Partial<PivotOutlook> = {}): PivotOutlook {
  const kind = code.includes('MAIN') ? 'main' : code.includes('HEADER') ? 'header-hinge' : 'link';
  return { code, kind, washersExpected: 2, washersPresent: 2, verdict: 'good', ...more };
}

function visit(id: string, on: string, more: Partial<VisitOutlook> = {}): VisitOutlook {
  return { id, on, standing: 'booked', material: 'cloth', pivots: [], ...more };
}

function partOf(part: Part, outlook: PartsOutlook, values = VALUES): PartForecast {
  const found = partsForecast(outlook, values).find((each) => each.part === part);
  if (found === undefined) throw new Error(part);
  return found;
}

function chanceOf(part: Part, of: VisitOutlook): number {
  return needsOfVisit(of, VALUES)
    .filter((need) => need.part === part)
    .reduce((sum, { chance }) => sum + chance, 0);
}

/** Chance of a seal where the frame pattern has this record of its own. */
function sealChance(visits: number, needed: number): number {
  const patternRecord = { 'tailgate-seal': { visits, needed } };
  return chanceOf('tailgate-seal', visit('v', '2027-03-01', { patternRecord }));
}

function oilExpected(more: Partial<VisitOutlook>): number {
  const visits = [visit('v', '2027-03-01', more)];
  return partOf('oil', { today: '2027-03-01', visits }).expected;
}

describe('what one visit may need', () => {
  test('a joint asks for more washers the worse it is judged', () => {
    const chances = (['good', 'watch', 'plan'] as const).map((verdict) =>
      chanceOf(
        'washer-pair',
        visit('v', '2027-03-01', { pivots: [pivot('L-LINK1', { verdict })] }),
      ),
    );
    expect(chances).toEqual(chances.toSorted((a, b) => a - b));
    expect(new Set(chances).size).toBe(3);
  });

  test('a missing washer counts more than the verdict, an old one adds to it', () => {
    const plain = visit('v', '2027-03-01', { pivots: [pivot('L-LINK1')] });
    const missing = visit('v', '2027-03-01', { pivots: [pivot('L-LINK1', { washersPresent: 1 })] });
    const old = visit('v', '2027-03-01', {
      pivots: [pivot('L-LINK1', { washerLossChance: 0.3 })],
    });
    const set = VALUES.pinGood;
    expect(chanceOf('washer-pair', missing)).toBeCloseTo(VALUES.washerMissing * (1 - set), 12);
    expect(chanceOf('washer-pair', old)).toBeCloseTo((1 - 0.98 * 0.7) * (1 - set), 12);
    expect(chanceOf('washer-pair', plain)).toBeCloseTo(0.02 * (1 - set), 12);
  });

  test.each([
    ['L-MAIN', 'main-set'],
    ['L-LINK1', 'link-set'],
    ['R-HEADER', 'header-pin'],
  ] as const)('a sheared %s wants its %s and seldom single washers beside it', (code, part) => {
    const broken = visit('v', '2027-03-01', { pivots: [pivot(code, { state: 'sheared' })] });
    expect(chanceOf(part, broken)).toBe(VALUES.pinBroken);
    expect(chanceOf('washer-pair', broken)).toBeLessThan(0.01);
  });

  test('a joint without spacers wants none, a latch no repair set', () => {
    const latch = pivot('L-LATCH', { kind: 'latch', washersExpected: 0, washersPresent: 0 });
    const parts = needsOfVisit(visit('v', '2027-03-01', { pivots: [latch] }), VALUES);
    expect(parts.map(({ part }) => part)).not.toContain('washer-pair');
    expect(parts.map(({ part }) => part)).not.toContain('link-set');
  });

  test('a lock nut is wanted only where a repair bolt is opened', () => {
    const bolt = pivot('L-MAIN', { washersPresent: 1, repairBolt: true });
    expect(chanceOf('lock-nut', visit('v', '2027-03-01', { pivots: [bolt] }))).toBeGreaterThan(0.9);
    const pin = pivot('L-MAIN', { washersPresent: 1 });
    expect(chanceOf('lock-nut', visit('v', '2027-03-01', { pivots: [pin] }))).toBe(0);
  });

  test('proofer is for cloth; no cables for a cover that has shrunk', () => {
    expect(chanceOf('proofer', visit('v', '2027-03-01', { material: 'vinyl' }))).toBe(0);
    expect(chanceOf('proofer', visit('v', '2027-03-01'))).toBe(VALUES.proofer);
    expect(chanceOf('cable-pair', visit('v', '2027-03-01'))).toBe(VALUES.cablePair);
    expect(chanceOf('cable-pair', visit('v', '2027-03-01', { shrunkCover: true }))).toBe(0);
  });

  test('the record of the frame pattern draws the shop rule towards itself', () => {
    expect(sealChance(0, 0)).toBeCloseTo(VALUES.tailgateSeal, 12);
    expect(sealChance(10, 5)).toBeCloseTo((5 + 10 * 0.08) / 20, 12);
    expect(sealChance(10_000, 5_000)).toBeCloseTo(0.5, 2);
    expect(() => sealChance(3, 4)).toThrow(/patternRecord/);
  });

  test('an order takes the place of the likeliest need of that part', () => {
    const pivots = [pivot('L-MAIN', { verdict: 'act' }), pivot('R-MAIN')];
    const needs = needsOfVisit(
      visit('v', '2027-03-01', { pivots, ordered: ['main-set', 'proofer'] }),
      VALUES,
    );
    const chances = (part: Part): number[] =>
      needs.filter((need) => need.part === part).map(({ chance }) => chance);
    expect(chances('main-set')).toEqual([1, VALUES.pinGood]);
    expect(chances('proofer')).toEqual([1]);
  });
});

describe('forecast', () => {
  test('nine certain visits with one chance each: as the plain rule has it', () => {
    const visits = Array.from({ length: 9 }, (_, i) =>
      visit(`v${i}`, '2027-03-02', { comes: 1, material: 'cloth' }),
    );
    const proofer = partOf('proofer', { today: '2027-03-01', visits });
    const plain = partsNeeded({
      chances: Array.from({ length: 9 }, () => VALUES.proofer),
      service: 0.95,
    });
    expect(proofer.quantity).toBe(plain.quantity);
    expect(proofer.expected).toBeCloseTo(plain.expected, 12);
  });

  test('looks over the lead time of each part, or longer if asked', () => {
    const visits = [
      visit('first', '2027-03-01'),
      visit('last', '2027-03-07'),
      visit('next', '2027-03-08'),
      visit('past', '2027-02-28'),
    ];
    expect(partOf('oil', { today: '2027-03-01', visits })).toMatchObject({ weeks: 1, visits: 2 });
    expect(partOf('oil', { today: '2027-03-01', visits, weeks: 8 })).toMatchObject({
      weeks: 8,
      visits: 3,
    });
    const slow = { oil: { onHand: 0, leadWeeks: 6 } };
    expect(partOf('oil', { today: '2027-03-01', visits, stock: slow })).toMatchObject({
      leadWeeks: 6,
      visits: 3,
    });
  });

  test('stock and what is on its way come off the order, never below nil', () => {
    const visits = Array.from({ length: 30 }, (_, i) => visit(`v${i}`, '2027-03-02'));
    const outlook = { today: '2027-03-01', visits };
    const none = partOf('proofer', outlook);
    expect(none.order).toBe(none.quantity);
    const some = partOf('proofer', { ...outlook, stock: { proofer: { onHand: 4, onOrder: 2 } } });
    expect(some).toMatchObject({ inHand: 6, order: none.quantity - 6 });
    const plenty = partOf('proofer', { ...outlook, stock: { proofer: { onHand: 99 } } });
    expect(plenty).toMatchObject({ order: 0, chanceShort: 0 });
  });

  test('the stock it advises runs short no oftener than the service level allows', () => {
    const visits = Array.from({ length: 40 }, (_, i) =>
      visit(`v${i}`, '2027-03-03', { pivots: [pivot('L-LINK1', { verdict: 'watch' })] }),
    );
    const outlook = { today: '2027-03-01', visits };
    for (const each of partsForecast(outlook)) {
      const stock = { [each.part]: { onHand: each.quantity } };
      expect(partOf(each.part, { ...outlook, stock }).chanceShort).toBeLessThanOrEqual(0.05);
      const less = { [each.part]: { onHand: Math.max(0, each.quantity - 1) } };
      const short = partOf(each.part, { ...outlook, stock: less }).chanceShort;
      expect(each.quantity === 0 || short > 0.05).toBe(true);
    }
  });

  test('an expected visit counts less than a booked one, a known chance before both', () => {
    expect(oilExpected({ standing: 'booked' })).toBeCloseTo(0.09, 12);
    expect(oilExpected({ standing: 'expected' })).toBeCloseTo(0.06, 12);
    expect(oilExpected({ standing: 'expected', comes: 0.25 })).toBeCloseTo(0.025, 12);
  });

  test('a cover is bought only on order, whether or not the first date is kept', () => {
    const visits = [
      visit('with', '2027-09-01', { ordered: ['cover'], comes: 0.5 }),
      visit('without', '2027-03-02'),
    ];
    expect(partOf('cover', { today: '2027-03-01', visits })).toMatchObject({
      onOrderOnly: true,
      expected: 1,
      quantity: 1,
      order: 1,
    });
    expect(partOf('cover', { today: '2027-03-01', visits: visits.slice(1) })).toMatchObject({
      quantity: 0,
      drivers: [],
    });
  });

  test('says what drives the need, the largest first', () => {
    const visits = [
      visit('a', '2027-03-02', {
        comes: 1,
        pivots: [
          pivot('L-LINK1', { washersPresent: 1 }),
          pivot('L-LINK2', { washersPresent: 0 }),
          pivot('R-LINK1'),
        ],
      }),
    ];
    const washers = partOf('washer-pair', { today: '2027-03-01', visits });
    expect(washers.drivers.map(({ reason, places }) => [reason, places])).toEqual([
      ['washer missing', 2],
      ['joint found good', 1],
    ]);
    expect(washers.because).toBe(
      '1 visit, about 1.9 needed: washer missing (2): 1.9; joint found good (1): 0.0; keep 2',
    );
    expect(washers.expected).toBeCloseTo(
      washers.drivers.reduce((sum, { expected }) => sum + expected, 0),
      12,
    );
  });

  test('no visits: every part named, nothing to order', () => {
    const nothing = partsForecast({ today: '2027-03-01', visits: [] });
    expect(nothing.map(({ part }) => part)).toEqual([...PARTS]);
    expect(nothing.every(({ order, quantity }) => order === 0 && quantity === 0)).toBe(true);
    expect(nothing[0]?.because).toBe('0 visits: no need seen');
  });

  test('a higher service level never orders less', () => {
    const visits = Array.from({ length: 25 }, (_, i) => visit(`v${i}`, '2027-03-02'));
    const order = (service: number): number =>
      partOf('proofer', { today: '2027-03-01', visits }, { ...VALUES, service }).order;
    const orders = [0.6, 0.8, 0.95, 0.999].map(order);
    expect(orders).toEqual(orders.toSorted((a, b) => a - b));
    expect(orders.at(-1)).toBeGreaterThan(orders[0]!);
  });

  test.each([
    [{ today: '2027-02-29' }, /today is no day/],
    [{ visits: [visit('v7', '2027-04-31')] }, /visit v7: on is no day/],
    [{ stock: { oil: { onHand: -1 } } }, /oil: onHand/],
    [{ stock: { oil: { onHand: 1, onOrder: Number.NaN } } }, /oil: onOrder/],
    [{ stock: { oil: { onHand: 1, leadWeeks: -2 } } }, /oil: leadWeeks/],
    [{ weeks: Number.POSITIVE_INFINITY }, /weeks/],
  ])('refuses %j', (more, message) => {
    expect(() => partsForecast({ today: '2027-03-01', visits: [], ...more })).toThrow(message);
  });
});
