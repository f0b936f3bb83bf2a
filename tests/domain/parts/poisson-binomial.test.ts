import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  partsNeeded,
  poissonBinomial,
  quantityFor,
} from '../../../src/domain/parts/poisson-binomial.ts';
import { jStat } from '../life/jstat.ts';

const chance = fc.oneof(
  fc.double({ min: 0, max: 1, noNaN: true }),
  fc.constantFrom(0, 1, 0.5, 1e-12, 1 - 1e-12),
);
const level = fc.double({ min: 0.001, max: 0.999, noNaN: true });

/** Every way the needs can fall out, one by one. */
function byCounting(chances: readonly number[]): number[] {
  const counts = Array.from({ length: chances.length + 1 }, () => 0);
  for (let outcome = 0; outcome < 2 ** chances.length; outcome += 1) {
    let product = 1;
    let needed = 0;
    chances.forEach((each, bit) => {
      const falls = Math.floor(outcome / 2 ** bit) % 2 === 1;
      product *= falls ? each : 1 - each;
      if (falls) needed += 1;
    });
    counts[needed]! += product;
  }
  return counts;
}

describe('distribution', () => {
  test('equals the count of all outcomes', () => {
    fc.assert(
      fc.property(fc.array(chance, { maxLength: 9 }), (chances) => {
        const counted = byCounting(chances);
        poissonBinomial(chances).forEach((weight, k) =>
          expect(weight).toBeCloseTo(counted[k]!, 12),
        );
      }),
    );
  });

  test('is the binomial of jstat where the chances are equal', () => {
    for (const [n, p] of [
      [1, 0.3],
      [12, 0.22],
      [60, 0.5],
      [150, 0.04],
    ] as const) {
      poissonBinomial(Array.from({ length: n }, () => p)).forEach((weight, k) => {
        expect(Math.abs(weight - jStat.binomial.pdf(k, n, p))).toBeLessThan(1e-10);
      });
    }
  });

  test('sums to one and has the sum of the chances as its mean', () => {
    fc.assert(
      fc.property(fc.array(chance, { maxLength: 200 }), (chances) => {
        const weights = poissonBinomial(chances);
        const mean = weights.reduce((sum, weight, k) => sum + k * weight, 0);
        expect(weights).toHaveLength(chances.length + 1);
        expect(weights.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 10);
        expect(mean).toBeCloseTo(partsNeeded({ chances, service: 0.9 }).expected, 8);
      }),
    );
  });

  test('stays exact over 5,000 needs, where the tails are under any double', () => {
    const chances = Array.from({ length: 5000 }, (_, i) => 0.2 + 0.0001 * (i % 5000));
    const weights = poissonBinomial(chances);
    const expected = chances.reduce((sum, each) => sum + each, 0);
    const variance = chances.reduce((sum, each) => sum + each * (1 - each), 0);
    expect(weights.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 9);
    expect(weights.reduce((sum, weight, k) => sum + k * weight, 0)).toBeCloseTo(expected, 5);
    const spread = weights.reduce((sum, weight, k) => sum + (k - expected) ** 2 * weight, 0);
    expect(spread).toBeCloseTo(variance, 4);
  });
});

describe('quantity', () => {
  test('is the smallest that meets the service level', () => {
    fc.assert(
      fc.property(fc.array(chance, { maxLength: 9 }), level, (chances, service) => {
        const { quantity } = partsNeeded({ chances, service });
        const met = byCounting(chances).map((_, k, all) =>
          all.slice(0, k + 1).reduce((sum, weight) => sum + weight, 0),
        );
        expect(met[quantity]).toBeGreaterThanOrEqual(service - 1e-9);
        expect(quantity === 0 || met[quantity - 1]! < service).toBe(true);
      }),
    );
  });

  test('never falls as the service level rises', () => {
    fc.assert(
      fc.property(fc.array(chance, { maxLength: 40 }), level, level, (chances, one, other) => {
        const low = partsNeeded({ chances, service: Math.min(one, other) });
        const high = partsNeeded({ chances, service: Math.max(one, other) });
        expect(high.quantity).toBeGreaterThanOrEqual(low.quantity);
      }),
    );
  });

  test('a tie is met, however the last digit falls', () => {
    expect(partsNeeded({ chances: [0.5], service: 0.5 })).toEqual({ expected: 0.5, quantity: 0 });
    // P(none) = 0.9^3 = 0.729 and P(at most one) = 0.972 exactly; doubles come out to either side.
    expect(partsNeeded({ chances: [0.1, 0.1, 0.1], service: 0.729 }).quantity).toBe(0);
    expect(partsNeeded({ chances: [0.1, 0.1, 0.1], service: 0.972 }).quantity).toBe(1);
    expect(partsNeeded({ chances: [0.1, 0.1, 0.1], service: 0.9721 }).quantity).toBe(2);
  });

  test('nothing to need, and needs that are certain', () => {
    expect(partsNeeded({ chances: [], service: 0.95 })).toEqual({ expected: 0, quantity: 0 });
    expect(partsNeeded({ chances: [0, 0], service: 0.999 }).quantity).toBe(0);
    expect(partsNeeded({ chances: [1, 1, 1], service: 0.01 })).toEqual({
      expected: 3,
      quantity: 3,
    });
  });

  test('a level a hair under one asks for the far tail', () => {
    const chances = Array.from({ length: 20 }, () => 0.5);
    // P(all 20) = 2^-20 = 9.5e-7; P(19 or more) = 21 x 2^-20 = 2.0e-5.
    expect(partsNeeded({ chances, service: 1 - 9e-7 }).quantity).toBe(20);
    expect(partsNeeded({ chances, service: 1 - 1e-6 }).quantity).toBe(19);
    expect(partsNeeded({ chances, service: 1 - 2.1e-5 }).quantity).toBe(18);
  });
});

test.each([-0.1, 1.1, Number.NaN, Number.POSITIVE_INFINITY])('the chance %d is refused', (bad) => {
  expect(() => poissonBinomial([0.5, bad])).toThrow(/chances\[1\]/);
});

test.each([0, 1, -1, 2, Number.NaN])('the service level %d is refused', (service) => {
  expect(() => partsNeeded({ chances: [0.5], service })).toThrow(/service/);
  expect(() => quantityFor([1], service)).toThrow(/service/);
});
