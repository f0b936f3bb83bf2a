import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { valuesOf } from '../../../src/domain/figures/figure.ts';
import { practiceOutlook } from '../../../src/domain/practice/outlook.ts';
import { PRACTICE_FIGURES } from '../../../src/domain/practice/practice-figures.ts';
import { wilsonInterval } from '../../../src/domain/practice/wilson.ts';

const share = fc.double({ min: 0, max: 1, noNaN: true });

describe('steady practice', () => {
  // Plain arithmetic of the geometric series, from memory: 80 tops a year for ten years.
  test.each([
    [300, 302, 9, 10],
    [340, 428, 13, 14],
  ])('%i of 400 come again: %i cars in care, %i to %i visits a week', (came, cars, from, to) => {
    const { years } = practiceOutlook({
      fittedPerYear: 80,
      observed: { due: 400, came },
      years: 10,
    });
    const last = years.at(-1);
    expect(Math.round(last?.cars.value ?? 0)).toBe(cars);
    expect(last?.visitsPerWeek.value).toBeGreaterThan(from);
    expect(last?.visitsPerWeek.value).toBeLessThan(to);
  });

  test('has the sum of what is left of each year, also where all or none come again', () => {
    const ofTen = fc.integer({ min: 0, max: 10 });
    const span = fc.integer({ min: 1, max: 30 });
    fc.assert(
      fc.property(fc.nat(200), ofTen, span, (fittedPerYear, came, years) => {
        const observed = { due: 10, came };
        const outlook = practiceOutlook({ fittedPerYear, observed, years });
        let sum = 0;
        for (let age = 0; age < years; age += 1) sum += fittedPerYear * (came / 10) ** age;
        const cars = outlook.years.at(-1)?.cars.value ?? 0;
        expect(Math.abs(cars - sum)).toBeLessThanOrEqual(1e-6 * Math.max(1, sum));
      }),
    );
  });
});

describe('outlook', () => {
  test('of a steady practice ends where the formula does, year by year', () => {
    const outlook = practiceOutlook({
      fittedPerYear: 80,
      observed: { due: 400, came: 300 },
      years: 10,
    });
    expect(outlook.basis).toBe('observed');
    outlook.years.forEach(({ year, cars, visitsPerWeek }) => {
      expect(cars.value).toBeCloseTo((80 * (1 - 0.75 ** year)) / (1 - 0.75), 9);
      expect(visitsPerWeek.value).toBeCloseTo(cars.value / 32, 12);
      expect(cars.low).toBeLessThanOrEqual(cars.value);
      expect(cars.high).toBeGreaterThanOrEqual(cars.value);
    });
    expect(outlook.years.at(-1)?.cars.value).toBeCloseTo(302, 0);
    expect(outlook.because).toBe(
      '300 of 400 owners due came again: 75 % a year, between 71 and 79 %',
    );
  });

  test('takes the tops of each year as planned, the last plan going on, and the cars in care', () => {
    const outlook = practiceOutlook({
      fittedPerYear: [10, 40],
      inCareNow: 100,
      observed: { due: 10, came: 5 },
      years: 3,
      visitsPerCar: 2,
    });
    expect(outlook.years.map(({ cars }) => cars.value)).toEqual([60, 70, 75]);
    expect(outlook.years[0]?.visitsPerWeek.value).toBeCloseTo(120 / 32, 12);
  });

  test('the spread narrows as more owners have been due', () => {
    const widths = [4, 40, 400].map((due) => {
      const observed = { due, came: (due * 3) / 4 };
      const last = practiceOutlook({ fittedPerYear: 80, observed, years: 10 }).years.at(-1)!;
      return last.cars.high - last.cars.low;
    });
    expect(widths).toEqual(widths.toSorted((a, b) => b - a));
    expect(widths[0]).toBeGreaterThan(3 * widths[2]!);
  });

  test.each([[undefined], [{ due: 0, came: 0 }]])(
    'with %j seen it is the shop rule',
    (observed) => {
      const outlook = practiceOutlook({
        fittedPerYear: 80,
        years: 1,
        ...(observed && { observed }),
      });
      expect(outlook).toMatchObject({
        basis: 'shop rule',
        yearlyReturn: { value: 0.6, low: 0.5, high: 0.8 },
      });
      expect(outlook.because).toContain('shop rule');
    },
  );

  test('an own return above the usual range keeps its place inside the spread', () => {
    const values = valuesOf(PRACTICE_FIGURES, { yearlyReturn: 0.9 });
    expect(practiceOutlook({ fittedPerYear: 1, years: 1 }, values).yearlyReturn).toEqual({
      value: 0.9,
      low: 0.5,
      high: 0.9,
    });
  });

  test.each([
    [{ fittedPerYear: -1 }, /fittedPerYear\[0\]/],
    [{ fittedPerYear: [3, Number.NaN] }, /fittedPerYear\[1\]/],
    [{ fittedPerYear: [] }, /fittedPerYear/],
    [{ years: 1.5 }, /years/],
    [{ years: 1e9 }, /years/],
    [{ inCareNow: -2 }, /inCareNow/],
    [{ visitsPerCar: Number.POSITIVE_INFINITY }, /visitsPerCar/],
    [{ observed: { due: 3, came: 4 } }, /count/],
    [{ observed: { due: 0, came: 1 } }, /of must/],
  ])('refuses %j', (bad, message) => {
    expect(() => practiceOutlook({ fittedPerYear: 80, years: 2, ...bad })).toThrow(message);
  });
});

describe('Wilson interval', () => {
  // 81/263, 15/148, 0/20 and 1/29 are the examples of Newcombe 1998, Statistics in Medicine 17,
  // 857-872 (from memory); the digits computed with scipy.stats.binomtest.
  test.each([
    [81, 263, 0.2552885198782742, 0.36620957698280004],
    [15, 148, 0.06238639953073629, 0.16048724172330803],
    [0, 20, 0, 0.16112515805281935],
    [1, 29, 0.006113214292762667, 0.17175521879320282],
    [29, 29, 0.8830302015002592, 1],
    [12, 20, 0.38658150076225317, 0.7811934676271829],
  ])('%i of %i', (count, of, low, high) => {
    const interval = wilsonInterval(count, of);
    expect(interval.share).toBe(count / of);
    expect(interval.low).toBeCloseTo(low, 12);
    expect(interval.high).toBeCloseTo(high, 12);
  });

  test('its ends are the shares from which the sample lies 1.96 errors away', () => {
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 500 }), share, (of, part) => {
        const count = Math.min(of - 1, Math.max(1, Math.round(of * part)));
        const { low, high } = wilsonInterval(count, of);
        for (const end of [low, high]) {
          const error = Math.sqrt((end * (1 - end)) / of);
          expect(Math.abs(count / of - end) / error).toBeCloseTo(1.959964, 5);
        }
      }),
    );
  });

  test.each([
    [1, 0],
    [-1, 5],
    [6, 5],
    [0.5, 5],
    [Number.NaN, 5],
  ])('refuses %d of %d', (count, of) => {
    expect(() => wilsonInterval(count, of)).toThrow(RangeError);
  });
});
