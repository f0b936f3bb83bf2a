import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { kaplanMeier } from '../../../src/domain/life/kaplan-meier.ts';
import { PLACEBO, SIX_MP } from './leukaemia.ts';

describe('6-MP remissions', () => {
  // Data published (Freireich et al. 1963, secondary copy); curve and errors computed.
  test.each([
    [6, 21, 3, 0.857143, 0.07636],
    [7, 17, 1, 0.806723, 0.086935],
    [10, 15, 1, 0.752941, 0.09635],
    [13, 12, 1, 0.690196, 0.106815],
    [16, 11, 1, 0.627451, 0.114054],
    [22, 7, 1, 0.537815, 0.128234],
    [23, 6, 1, 0.448179, 0.134591],
  ])('week %i', (time, atRisk, events, survival, standardError) => {
    const step = kaplanMeier(SIX_MP).steps.find((each) => each.time === time);
    expect(step).toMatchObject({ atRisk, events });
    expect(step?.survival).toBeCloseTo(survival, 6);
    expect(step?.standardError).toBeCloseTo(standardError, 6);
  });

  test('has steps at the seven failure times alone, median 23, restricted mean 23.2874', () => {
    const curve = kaplanMeier(SIX_MP);
    expect(curve.steps).toHaveLength(7);
    expect(curve.median).toBe(23);
    expect(curve.restrictedMean(35)).toBeCloseTo(23.2874, 4);
  });
});

test('placebo: median 8 (published), curve as scipy.stats.ecdf gives it (computed)', () => {
  const curve = kaplanMeier(PLACEBO);
  expect(curve.median).toBe(8);
  expect(curve.steps.map(({ time }) => time)).toEqual([1, 2, 3, 4, 5, 8, 11, 12, 15, 17, 22, 23]);
  expect(curve.steps.map(({ survival }) => Math.round(survival * 21))).toEqual([
    19, 17, 16, 14, 12, 8, 6, 4, 3, 2, 1, 0,
  ]);
  expect(curve.steps.at(-1)).toMatchObject({ survival: 0, standardError: 0 });
});

test('without censoring it is one minus the empirical distribution', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 1, max: 30 }), { minLength: 1 }), (times) => {
      const { steps, restrictedMean } = kaplanMeier(times.map((time) => ({ time, event: true })));
      for (const time of times) {
        const longer = times.filter((each) => each > time).length / times.length;
        expect(steps.find((step) => step.time === time)?.survival).toBeCloseTo(longer, 12);
      }
      const mean = times.reduce((sum, time) => sum + time, 0) / times.length;
      expect(restrictedMean(Math.max(...times))).toBeCloseTo(mean, 9);
    }),
  );
});

test('without censoring Greenwood is the binomial error', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 1 }), (times) => {
      const { steps } = kaplanMeier(times.map((time) => ({ time, event: true })));
      for (const { survival, standardError } of steps) {
        const binomial = Math.sqrt((survival * (1 - survival)) / times.length);
        expect(standardError).toBeCloseTo(binomial, 9);
      }
    }),
  );
});

test('an exact half is the median although its product rounds above it', () => {
  // 23/24 x 22/23 x ... x 12/13 is 1/2; in doubles the running product is 0.5000000000000001.
  const curve = kaplanMeier(Array.from({ length: 24 }, (_, i) => ({ time: i + 1, event: true })));
  expect(curve.median).toBe(12);
});

test('no failure: no steps, no median, mean is the time watched', () => {
  const curve = kaplanMeier([{ time: 4, event: false }]);
  expect(curve).toMatchObject({ steps: [], median: null });
  expect(curve.restrictedMean(3)).toBe(3);
});

test('nothing is said past the longest life still sound', () => {
  expect(() => kaplanMeier(SIX_MP).restrictedMean(36)).toThrow(/longest/);
  expect(kaplanMeier(PLACEBO).restrictedMean(100)).toBeCloseTo(182 / 21, 12);
});

test.each([-1, Number.NaN, Number.POSITIVE_INFINITY])('refuses the time %d by name', (time) => {
  const observations = [
    { time: 1, event: true },
    { time, event: true },
  ];
  expect(() => kaplanMeier(observations)).toThrow(/observations\[1\]\.time/);
});
