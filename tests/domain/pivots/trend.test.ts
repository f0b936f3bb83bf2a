import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isRefused, MOST_READINGS, trend } from '../../../src/domain/pivots/trend.ts';
import type { TrendReading } from '../../../src/domain/pivots/trend.ts';
import { seriesOf } from './series-of.ts';

function answered(readings: readonly TrendReading[], confidence?: number) {
  const result = trend({ readings, confidence });
  if (isRefused(result)) throw new Error(result.refused);
  return result;
}

function refusal(readings: readonly TrendReading[], confidence?: number): string {
  const result = trend({ readings, confidence });
  return isRefused(result) ? result.refused : 'answered';
}

describe('trend', () => {
  // Sen (1968) at 93 % (published, secondary copy); exact p = 2/5040 (computed).
  it("answers Sen's data in one piece", () => {
    const sen = seriesOf([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78]);
    const result = answered(sen, 0.93);
    expect(result).toMatchObject({ slope: 4, intercept: 4, s: 21, n: 7 });
    expect(result.low).toBeCloseTo(3.7142857, 7);
    expect(result.high).toBeCloseTo(4.375, 12);
    expect(result.p).toBeCloseTo(2 / 5040, 12);
  });

  it('takes 95 % where no confidence is given', () => {
    const readings = seriesOf([0, 1, 2, 3, 4], [1.5, -0.6, 1.6, 2.4, 2.1]);
    expect(answered(readings)).toEqual(answered(readings, 0.95));
    expect(answered(readings)).not.toEqual(answered(readings, 0.8));
  });

  it('skips pairs at the same x', () => {
    const result = answered(seriesOf([0, 0, 1], [0, 2, 3]));
    expect(result.slope).toBe(2);
    expect(result.s).toBe(2);
  });

  it.each([
    [[], 'no readings, and a trend needs 3: 3 more are missing'],
    [seriesOf([1, 2], [1, 2]), '2 readings, and a trend needs 3: 1 more is missing'],
    [seriesOf([1, 1, 1], [1, 2, 3]), 'at the same time'],
    [seriesOf([1, 2, NaN], [1, 2, 3]), 'reading 3 is not a finite number'],
    [seriesOf([1, 2, 3], [1, Infinity, 3]), 'reading 2 is not a finite number'],
    [seriesOf([1, 2, 3], [-1e308, 1e308, 0]), 'reading 1 is too large'],
    [seriesOf([0, 1e-320, 1], [0, 1, 2]), 'too close in time'],
    [Array.from({ length: MOST_READINGS + 1 }, (_, i) => ({ x: i, y: i })), 'more than 2000'],
  ])('refuses %# and says what is missing', (readings, reason) => {
    expect(refusal(readings)).toContain(reason);
  });

  it.each([0, 1, -1, 95, NaN])('refuses the confidence %f', (confidence) => {
    expect(refusal(seriesOf([1, 2, 3], [1, 2, 3]), confidence)).toContain('between 0 and 1');
  });
});

const whole = fc.integer({ min: -1000, max: 1000 });
const readings = fc
  .array(fc.record({ x: whole, y: whole }), { minLength: 3, maxLength: 14 })
  .filter((list) => new Set(list.map(({ x }) => x)).size > 1);
/** Powers of two, so that scaling is exact. */
const scale = fc.constantFrom(0.25, 0.5, 2, 8);

describe('trend: what must hold for any readings', () => {
  it('does not depend on their order', () => {
    const shuffled = readings.chain((list) =>
      fc.tuple(
        fc.constant(list),
        fc.shuffledSubarray(list, { minLength: list.length, maxLength: list.length }),
      ),
    );
    fc.assert(
      fc.property(shuffled, ([list, other]) => {
        expect(trend({ readings: other })).toEqual(trend({ readings: list }));
      }),
    );
  });

  it('moves and scales with them', () => {
    fc.assert(
      fc.property(readings, whole, whole, scale, scale, (list, dx, dy, kx, ky) => {
        const before = answered(list);
        const moved = list.map(({ x, y }) => ({ x: (x + dx) * kx, y: (y + dy) * ky }));
        const after = answered(moved);
        const k = ky / kx;
        expect(after.slope).toBeCloseTo(before.slope * k, 9);
        expect(after.low).toBeCloseTo(before.low * k, 9);
        expect(after.high).toBeCloseTo(before.high * k, 9);
        expect(after.intercept).toBeCloseTo(ky * (before.intercept + dy - before.slope * dx), 6);
        expect([after.s, after.p, after.n]).toEqual([before.s, before.p, before.n]);
      }),
    );
  });

  it('turns round with them', () => {
    fc.assert(
      fc.property(readings, (list) => {
        const before = answered(list);
        const after = answered(list.map(({ x, y }) => ({ x, y: -y })));
        expect(after.slope).toBeCloseTo(-before.slope, 12);
        expect(after.s).toBe(-before.s + 0);
        expect(after.p).toBeCloseTo(before.p, 12);
      }),
    );
  });

  it('has its slope inside its interval, wider for more confidence', () => {
    fc.assert(
      fc.property(readings, (list) => {
        const at80 = answered(list, 0.8);
        const at99 = answered(list, 0.99);
        expect(at80.low).toBeLessThanOrEqual(at80.slope);
        expect(at80.high).toBeGreaterThanOrEqual(at80.slope);
        expect(at99.low).toBeLessThanOrEqual(at80.low);
        expect(at99.high).toBeGreaterThanOrEqual(at80.high);
      }),
    );
  });

  it('finds a straight line exactly', () => {
    fc.assert(
      fc.property(readings, fc.integer({ min: -9, max: 9 }), whole, (list, slope, intercept) => {
        const line = list.map(({ x }) => ({ x, y: slope * x + intercept }));
        expect(answered(line)).toMatchObject({
          slope: slope + 0,
          low: slope + 0,
          high: slope + 0,
          intercept: intercept + 0,
        });
      }),
    );
  });
});
