import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { patternFaults } from '../../../src/domain/practice/pattern-faults.ts';

const cars = (pattern: string, of: number, ...faulty: [fault: string, count: number][]) =>
  Array.from({ length: of }, (_, i) => ({
    pattern,
    faults: new Set(faulty.flatMap(([fault, count]) => (i < count ? [fault] : []))),
  }));

describe('the faults of a frame pattern', () => {
  // 1/29 of Newcombe 1998, Statistics in Medicine 17, 857–872, table I, Wilson's method without
  // correction: 0.0061 to 0.1718.
  it('have the published interval', () => {
    const [found] = patternFaults(cars('four', 29, ['stiff', 1]));
    expect(found?.faults?.[0]?.share?.low).toBeCloseTo(0.0061, 4);
    expect(found?.faults?.[0]?.share?.high).toBeCloseTo(0.1718, 4);
  });

  it('are a mere count under ten cars, and nothing under five', () => {
    expect(patternFaults(cars('four', 7, ['stiff', 3]))).toEqual([
      { pattern: 'four', cars: 7, faults: [{ fault: 'stiff', cars: 3, share: null }] },
    ]);
    expect(patternFaults(cars('four', 4, ['stiff', 3]))).toEqual([
      { pattern: 'four', cars: 4, faults: null },
    ]);
  });

  it('count a car once and keep patterns apart, the most frequent fault first', () => {
    const found = patternFaults([
      ...cars('two', 12, ['dry', 2], ['seal', 5]),
      ...cars('four', 6, ['dry', 6]),
    ]);
    expect(found.map(({ pattern }) => pattern)).toEqual(['four', 'two']);
    expect(found[1]?.faults?.map(({ fault, cars: n }) => [fault, n])).toEqual([
      ['seal', 5],
      ['dry', 2],
    ]);
  });

  it('never say more cars than there are, and hold the share seen in the interval', () => {
    const one = fc.record({
      pattern: fc.constantFrom('a', 'b'),
      faults: fc.uniqueArray(fc.constantFrom('x', 'y', 'z')).map((list) => new Set(list)),
    });
    fc.assert(
      fc.property(fc.array(one, { maxLength: 60 }), (all) => {
        for (const { cars: of, faults } of patternFaults(all)) {
          for (const { cars: n, share } of faults ?? []) {
            expect(n).toBeLessThanOrEqual(of);
            if (share === null) continue;
            expect(share.low).toBeLessThanOrEqual(n / of);
            expect(share.high).toBeGreaterThanOrEqual(n / of);
          }
        }
      }),
    );
  });
});
