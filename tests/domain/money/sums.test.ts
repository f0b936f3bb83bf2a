import { dinero, halfUp, multiply, toSnapshot, transformScale } from 'dinero.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LARGEST_PRICE, LARGEST_TAX_RATE } from '../../../src/domain/money/amount.ts';
import { LARGEST_QUANTITY, lineAmount, taxOn } from '../../../src/domain/money/sums.ts';

const quantity = fc.integer({ min: 0, max: LARGEST_QUANTITY });
const price = fc.integer({ min: 0, max: LARGEST_PRICE });
const rate = fc.integer({ min: 0, max: LARGEST_TAX_RATE });
const EUR = { code: 'EUR', base: 10, exponent: 2 } as const;

describe('a line', () => {
  it('is rounded half up to the smallest unit', () => {
    // 1.25 h × 85.50 = 106.875; 0.33 h × 0.01 = 0.0033; half a unit goes up.
    expect(lineAmount(125, 8550)).toBe(10_688);
    expect(lineAmount(33, 1)).toBe(0);
    expect(lineAmount(50, 1)).toBe(1);
    expect(lineAmount(49, 1)).toBe(0);
  });

  it('agrees with a library that keeps money too, over all that an estimate may hold', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 100_000 }),
        fc.integer({ min: 0, max: 10_000_000 }),
        (hundredths, unit) => {
          const exact = multiply(dinero({ amount: unit, currency: EUR }), {
            amount: hundredths,
            scale: 2,
          });
          const rounded = toSnapshot(transformScale(exact, 2, halfUp)).amount;
          expect(lineAmount(hundredths, unit)).toBe(rounded);
        },
      ),
    );
  });

  it('lies within half a unit of the exact product, and never below it at a half', () => {
    fc.assert(
      fc.property(quantity, price, (hundredths, unit) => {
        const amount = lineAmount(hundredths, unit);
        expect(Number.isSafeInteger(amount)).toBe(true);
        const twice = 2n * (BigInt(amount) * 100n - BigInt(hundredths) * BigInt(unit));
        expect(twice > -100n && twice <= 100n).toBe(true);
      }),
    );
  });
});

describe('a tax', () => {
  it('is reckoned on the sum, and rounded half up', () => {
    // 19 % of 0.50 is 0.095; 8.875 % of 100.00 is 8.875.
    expect(taxOn(50, 19_000)).toBe(10);
    expect(taxOn(10_000, 8_875)).toBe(888);
    expect(taxOn(10_000, 0)).toBe(0);
  });

  it('never falls as the sum or the rate grows', () => {
    fc.assert(
      fc.property(price, price, rate, rate, (a, b, r, s) => {
        const [less, more] = a < b ? [a, b] : [b, a];
        const [low, high] = r < s ? [r, s] : [s, r];
        expect(taxOn(less, low)).toBeLessThanOrEqual(taxOn(more, low));
        expect(taxOn(less, low)).toBeLessThanOrEqual(taxOn(less, high));
      }),
    );
  });
});
