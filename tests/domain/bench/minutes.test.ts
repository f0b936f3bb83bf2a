import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { BENCH_FIGURES } from '../../../src/domain/bench/bench-figures.ts';
import { expectedMinutes, placesFor } from '../../../src/domain/bench/minutes.ts';
import { valuesOf } from '../../../src/domain/figures/figure.ts';

const look = { kind: 'look' } as const;
const values = valuesOf(BENCH_FIGURES);

function done(...minutes: number[]) {
  return { visits: minutes.length, minutes: minutes.reduce((sum, each) => sum + each, 0) };
}

describe('minutes of a visit', () => {
  test('the yearly visit is the sum of its steps (from memory): 1 h 45 by hand, 2 h powered', () => {
    const steps = [8, 8, 8, 20, 10, 6, 10, 5, 8, 4, 8, 10];
    const sum = steps.reduce((total, minutes) => total + minutes, 0);
    expect(BENCH_FIGURES.lubricationMinutes.value).toBe(sum);
    expect(BENCH_FIGURES.lubricationPoweredMinutes.value).toBe(sum + 15);
    const visit = { kind: 'lubrication' } as const;
    expect(expectedMinutes(visit, done())).toMatchObject({
      minutes: 105,
      places: 4,
      learnedFrom: 0,
    });
    expect(expectedMinutes({ ...visit, powered: true }, done())).toMatchObject({ minutes: 120 });
  });

  test('own visits are weighed against the figure: (5 × 30 + 60 + 50) ÷ (5 + 2)', () => {
    const expected = expectedMinutes(look, done(60, 50));
    expect(expected.minutes).toBeCloseTo(260 / 7, 12);
    expect(expected).toMatchObject({ places: 2, figure: 30, learnedFrom: 2 });
    expect(expected.because).toBe(
      '37 min: 2 own visits, 55 min on average, weighed against the shop rule of 30 min',
    );
  });

  test('lies between the figure and the own mean, and nears the mean as visits grow', () => {
    const drawn = fc.array(fc.integer({ min: 1, max: 900 }), { minLength: 1, maxLength: 60 });
    fc.assert(
      fc.property(drawn, (minutes) => {
        const mean = minutes.reduce((sum, each) => sum + each, 0) / minutes.length;
        const expected = expectedMinutes(look, done(...minutes)).minutes;
        expect(expected).toBeGreaterThanOrEqual(Math.min(30, mean) - 1e-9);
        expect(expected).toBeLessThanOrEqual(Math.max(30, mean) + 1e-9);
        const twice = expectedMinutes(look, done(...minutes, ...minutes)).minutes;
        expect(Math.abs(twice - mean)).toBeLessThanOrEqual(Math.abs(expected - mean) + 1e-9);
      }),
    );
  });

  test('a shop that trusts its own visits alone sets the weight to 0', () => {
    const own = { ...values, priorVisits: 0 };
    expect(expectedMinutes(look, done(50, 70), own)).toMatchObject({ minutes: 60, places: 2 });
    expect(expectedMinutes(look, done(), own).minutes).toBe(30);
  });

  test.each([0, -5, Number.NaN, Infinity])('minutes of %d are refused', (minutes) => {
    expect(() => expectedMinutes(look, done(minutes))).toThrow(RangeError);
  });

  test.each([
    [1, 1],
    [30, 1],
    [30.5, 2],
    [60 + 1e-12, 2],
    [105, 4],
    [240, 8],
  ])('%d min take %i half hours', (minutes, places) => {
    expect(placesFor(minutes)).toBe(places);
  });
});
