import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { valuesOf } from '../../../src/domain/figures/figure.ts';
import { corrosion } from '../../../src/domain/lubrication/corrosion.ts';
import { INTERVAL_FIGURES, lubricationInterval } from '../../../src/domain/lubrication/interval.ts';
import type { IntervalInput } from '../../../src/domain/lubrication/interval.ts';
import type { Keeping } from '../../../src/domain/lubrication/keeping.ts';
import { PLACES, SALTS, USES } from '../../../src/domain/lubrication/keeping.ts';

const outdoorsBySea: Keeping = { place: 'outdoors', salt: 'by-sea', use: 'summer' };
const monthsOf = (input: IntervalInput) => lubricationInterval(input).months;

describe('months between lubrications', () => {
  // The class taken for a keeping is a shop rule; the months follow from the middle of its class in
  // ISO 9223:2012 Table 2 (published, secondary copy): 12 × √(37.5 / rate), 12 at most.
  it.each([
    ['none', 'open', 'C3', 12],
    ['none', 'dry-garage', 'C2', 12],
    ['none', 'heated-garage', 'C1', 12],
    ['winter-roads', 'open', 'C4', 9],
    ['winter-roads', 'dry-garage', 'C4', 9],
    ['winter-roads', 'heated-garage', 'C3', 12],
    ['near-sea', 'open', 'C4', 9],
    ['near-sea', 'dry-garage', 'C3', 12],
    ['near-sea', 'heated-garage', 'C2', 12],
    ['by-sea', 'open', 'C5', 6],
    ['by-sea', 'dry-garage', 'C4', 9],
    ['by-sea', 'heated-garage', 'C3', 12],
    ['sea-front', 'open', 'CX', 3],
    ['sea-front', 'dry-garage', 'C5', 6],
    ['sea-front', 'heated-garage', 'C4', 9],
  ] as const)('%s, %s: %s, %i', (salt, shelter, name, months) => {
    const places =
      shelter === 'open' ? (['outdoors', 'street', 'damp-garage'] as const) : [shelter];
    for (const place of places) {
      const result = lubricationInterval({ keeping: { place, salt, use: 'all-year' } });
      expect([result.class, result.months]).toEqual([name, months]);
    }
  });

  // Worked by hand from the rule.
  it.each<[string, IntervalInput, number]>([
    ['√ 6.21', { keeping: { ...outdoorsBySea, foldsPerYear: 60 } }, 6],
    ['6.21 × 0.75 = 4.66', { keeping: { ...outdoorsBySea, use: 'daily' } }, 5],
    ['6.21 × 0.75, folds', { keeping: { ...outdoorsBySea, foldsPerYear: 251 } }, 5],
    ['250 folds are not over 250', { keeping: { ...outdoorsBySea, foldsPerYear: 250 } }, 6],
    ['6.21 × 0.75, unmoved', { keeping: outdoorsBySea, unmovedDays: 61 }, 5],
    ['60 days are not over 60', { keeping: outdoorsBySea, unmovedDays: 60 }, 6],
    ['6.21 × 0.5 = 3.11', { keeping: outdoorsBySea, stiffOrMissing: true }, 3],
    [
      '12 × 0.5: a washer missing in the street',
      { keeping: { place: 'street', salt: 'none', use: 'all-year' }, stiffOrMissing: true },
      6,
    ],
    [
      '12 × 0.75 × 0.5 = 4.5, a half counts up',
      { keeping: { place: 'street', salt: 'none', use: 'daily' }, stiffOrMissing: true },
      5,
    ],
    [
      '12 × 0.75 × 0.75 = 6.75',
      { keeping: { place: 'outdoors', salt: 'none', use: 'daily' }, unmovedDays: 90 },
      7,
    ],
    [
      '3.46 × 0.75 × 0.75 × 0.5 = 0.97, never under 3',
      {
        keeping: { place: 'outdoors', salt: 'sea-front', use: 'daily' },
        unmovedDays: 90,
        stiffOrMissing: true,
      },
      3,
    ],
  ])('%s', (_, input, months) => {
    expect(monthsOf(input)).toBe(months);
  });

  it('takes many folds and daily use as one reason: 12 × 0.75 = 9, not 6.75', () => {
    const keeping: Keeping = { place: 'dry-garage', salt: 'none', use: 'daily', foldsPerYear: 300 };
    expect(monthsOf({ keeping })).toBe(9);
  });

  it('takes the class from climate figures where there are any', () => {
    // ISO 9223:2012 dose-response function (computed): 121 µm/a, class C5.
    const climate = { temperatureC: 20, humidityPct: 80, so2: 5, chloride: 300 };
    const keeping: Keeping = { place: 'damp-garage', salt: 'none', use: 'summer' };
    const result = lubricationInterval({ keeping, climate });
    expect([result.class, result.months]).toEqual(['C5', 6]);
    // 121 × 0.67 = 81.1 and 121 × 1.5 = 181.6 µm/a: both C5 (80 to 200).
    expect(result.because[1]).toBe('climate figures (class C5, C5 by its uncertainty too): 6');
  });

  it('says between which classes an estimate lies (ISO 9223 Annex A; −33 to +50 % from memory)', () => {
    // 31.17 µm/a, C3; × 0.67 = 20.9, C2; × 1.5 = 46.8, C3 (computed).
    const climate = { temperatureC: 10, humidityPct: 75, so2: 10, chloride: 5 };
    expect(lubricationInterval({ keeping: outdoorsBySea, climate }).because[1]).toBe(
      'climate figures (class C3, by its uncertainty C2 to C3): 12',
    );
    const rate = corrosion(climate);
    expect(rate.from.micrometresPerYear).toBeCloseTo(20.885, 2);
    expect(rate.to.micrometresPerYear).toBeCloseTo(46.757, 2);
    expect([rate.from.class, rate.class, rate.to.class]).toEqual(['C2', 'C3', 'C3']);
  });

  it('judges a heated garage by no climate of open air', () => {
    const climate = { temperatureC: 20, humidityPct: 80, so2: 5, chloride: 300 };
    const keeping: Keeping = { place: 'heated-garage', salt: 'none', use: 'summer' };
    const result = lubricationInterval({ keeping, climate });
    expect([result.class, result.months]).toEqual(['C1', 12]);
    expect(result.because).toContain(
      'climate figures are for open air and say nothing of a heated garage',
    );
  });

  // ISO 9223:2012 classes the air that the metal stands in; unheated rooms with some condensation are its
  // own example of C2 (from memory). So a dry garage is C2 away from salt, whatever the air outside.
  it('judges a dry garage by its keeping, whatever the climate outside', () => {
    const place = fc.constantFrom('dry-garage' as const, 'heated-garage' as const);
    const climate = fc.record({
      temperatureC: fc.double({ min: -17, max: 28, noNaN: true }),
      humidityPct: fc.double({ min: 34, max: 93, noNaN: true }),
      so2: fc.double({ min: 0.7, max: 150, noNaN: true }),
      chloride: fc.double({ min: 0.4, max: 760, noNaN: true }),
    });
    const keepings = fc.record({
      place,
      salt: fc.constantFrom(...SALTS),
      use: fc.constantFrom(...USES),
    });
    fc.assert(
      fc.property(keepings, climate, (keeping, outside) => {
        const {
          class: taken,
          months,
          because,
        } = lubricationInterval({ keeping, climate: outside });
        const kept = lubricationInterval({ keeping });
        expect([taken, months]).toEqual([kept.class, kept.months]);
        expect(
          because.filter((line) => line.startsWith('climate figures are for open')),
        ).toHaveLength(1);
      }),
    );
    const dry: Keeping = { place: 'dry-garage', salt: 'none', use: 'summer' };
    const byTheSea = { temperatureC: 20, humidityPct: 80, so2: 5, chloride: 300 };
    expect(lubricationInterval({ keeping: dry, climate: byTheSea }).because).toEqual([
      '12 months at most',
      'dry garage away from salt (class C2): 12',
      'climate figures are for open air, and a dry garage keeps off rain and some of the salt',
    ]);
  });

  it.each([
    // Driven in summer only, a car meets no road salt but the spray that reaches it in the open.
    ['heated-garage', 'C1', 'C3'],
    ['dry-garage', 'C2', 'C4'],
    ['damp-garage', 'C3', 'C4'],
    ['outdoors', 'C4', 'C4'],
    ['street', 'C4', 'C4'],
  ] as const)('on salted roads, %s: %s in summer use, %s all year', (place, summer, allYear) => {
    const classBy = (use: Keeping['use']) =>
      lubricationInterval({ keeping: { place, salt: 'winter-roads', use } });
    expect(classBy('summer').class).toBe(summer);
    expect(classBy('all-year').class).toBe(allYear);
    expect(classBy('daily').class).toBe(allYear);
    expect(classBy('summer').because[1]?.includes('but not driven in winter')).toBe(
      place.endsWith('garage'),
    );
  });

  it('takes the class of a keeping from a figure that an organisation can set', () => {
    const own = valuesOf(INTERVAL_FIGURES, { bySeaOpen: 6 });
    expect(lubricationInterval({ keeping: outdoorsBySea }, own).class).toBe('CX');
  });

  it('takes a climate beyond the scale as CX', () => {
    const climate = { temperatureC: 28, humidityPct: 100, so2: 200, chloride: 1500 };
    expect(lubricationInterval({ keeping: outdoorsBySea, climate }).class).toBe('CX');
  });

  it("follows an organisation's own shop rules", () => {
    const own = valuesOf(INTERVAL_FIGURES, {
      shortestMonths: 4,
      busyFactor: 0.5,
      longestMonths: 24,
    });
    const result = lubricationInterval({ keeping: { ...outdoorsBySea, use: 'daily' } }, own);
    expect(result.months).toBe(4);
    // Common practice is not theirs to lengthen.
    const keeping: Keeping = { place: 'heated-garage', salt: 'none', use: 'summer' };
    expect(lubricationInterval({ keeping }, own).months).toBe(12);
  });
});

describe('the sum in words', () => {
  it('has a line for each step with the months as they stand', () => {
    expect(lubricationInterval({ keeping: { ...outdoorsBySea, use: 'daily' } }).because).toEqual([
      '12 months at most',
      'outdoors by the sea (class C5): 6',
      'daily use: 5',
      'anything shorter than 12 months is a shop rule',
    ]);
    const keeping: Keeping = {
      place: 'dry-garage',
      salt: 'winter-roads',
      use: 'daily',
      foldsPerYear: 400,
    };
    expect(lubricationInterval({ keeping, unmovedDays: 70, stiffOrMissing: true }).because).toEqual(
      [
        '12 months at most',
        'dry garage, salted winter roads (class C4): 9',
        'daily use and over 250 folds a year: 7',
        'unmoved over 60 days: 5',
        'pivot stiff or washer missing: 3',
        'anything shorter than 12 months is a shop rule',
      ],
    );
  });

  it('says that a floor held, and no shop rule where none decided', () => {
    const front: Keeping = { place: 'street', salt: 'sea-front', use: 'daily' };
    expect(lubricationInterval({ keeping: front, stiffOrMissing: true }).because).toContain(
      'never under 3 months: 3',
    );
    const inland: Keeping = { place: 'dry-garage', salt: 'none', use: 'summer' };
    expect(lubricationInterval({ keeping: inland }).because).toEqual([
      '12 months at most',
      'dry garage away from salt (class C2): 12',
    ]);
  });
});

describe('a keeping that nobody has told', () => {
  const untold: Keeping = { place: null, salt: null, use: null };

  it('gives the yearly look of common practice, and says what is not told', () => {
    expect(lubricationInterval({ keeping: untold })).toEqual({
      months: 12,
      class: null,
      because: [
        '12 months at most',
        'not told where it stands, which salt reaches it, when it is driven: 12',
      ],
    });
  });

  it('counts what is told and what was found all the same', () => {
    const daily: Keeping = { ...untold, use: 'daily' };
    expect(lubricationInterval({ keeping: daily, stiffOrMissing: true }).because).toEqual([
      '12 months at most',
      'not told where it stands, which salt reaches it: 12',
      'daily use: 9',
      'pivot stiff or washer missing: 5',
      'anything shorter than 12 months is a shop rule',
    ]);
    const bySea: Keeping = { place: 'outdoors', salt: 'by-sea', use: null };
    expect(lubricationInterval({ keeping: bySea }).because).toEqual([
      '12 months at most',
      'outdoors by the sea (class C5): 6',
      'not told when it is driven: 6',
      'anything shorter than 12 months is a shop rule',
    ]);
  });

  it('is judged by climate figures where there are any', () => {
    const climate = { temperatureC: 20, humidityPct: 80, so2: 5, chloride: 300 };
    expect(lubricationInterval({ keeping: untold, climate }).because.slice(1, 3)).toEqual([
      'climate figures (class C5, C5 by its uncertainty too): 6',
      'not told when it is driven: 6',
    ]);
  });

  it('is never shorter than the same keeping with more told of it', () => {
    const keepings = fc.record({
      place: fc.constantFrom(...PLACES),
      salt: fc.constantFrom(...SALTS),
      use: fc.constantFrom(...USES),
    });
    const gaps = fc.subarray(['place', 'salt', 'use'] as const);
    fc.assert(
      fc.property(keepings, gaps, fc.boolean(), (keeping, hidden, stiffOrMissing) => {
        const less = { ...keeping, ...Object.fromEntries(hidden.map((name) => [name, null])) };
        // A summer car is spared the salt of roads only where its use is told.
        fc.pre(!(hidden.includes('use') && keeping.use === 'summer'));
        const months = monthsOf({ keeping: less, stiffOrMissing });
        expect(months).toBeGreaterThanOrEqual(monthsOf({ keeping, stiffOrMissing }));
      }),
    );
  });
});

it('is whole months from 3 to 12, and nothing bad makes it longer', () => {
  const keepings = fc.record({
    place: fc.constantFrom(...PLACES),
    salt: fc.constantFrom(...SALTS),
    use: fc.constantFrom(...USES),
    foldsPerYear: fc.integer({ min: 0, max: 1000 }),
  });
  const inputs = fc.record({
    keeping: keepings,
    unmovedDays: fc.integer({ min: 0, max: 365 }),
    stiffOrMissing: fc.boolean(),
  });
  fc.assert(
    fc.property(inputs, (input) => {
      const months = monthsOf(input);
      expect(Number.isInteger(months) && months >= 3 && months <= 12).toBe(true);
      const { keeping } = input;
      expect(monthsOf({ ...input, stiffOrMissing: true })).toBeLessThanOrEqual(months);
      expect(monthsOf({ ...input, unmovedDays: 366 })).toBeLessThanOrEqual(months);
      const worse = { ...input, keeping: { ...keeping, use: 'daily' as const } };
      expect(monthsOf(worse)).toBeLessThanOrEqual(months);
      const open = { ...input, keeping: { ...keeping, place: 'outdoors' as const } };
      expect(monthsOf(open)).toBeLessThanOrEqual(months);
    }),
  );
});
