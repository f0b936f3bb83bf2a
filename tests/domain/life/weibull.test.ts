import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { chanceWithin, weibullFit } from '../../../src/domain/life/weibull.ts';
import type { WeibullFit } from '../../../src/domain/life/weibull.ts';
import type { Observation } from '../../../src/domain/life/observation.ts';
import { jStat } from './jstat.ts';
import { runs } from '../../setup/runs.ts';

const NIST: readonly Observation[] = [
  ...[54, 187, 216, 240, 244, 335, 361, 373, 375, 386].map((time) => ({ time, event: true })),
  ...Array.from({ length: 10 }, () => ({ time: 500, event: false })),
];

function fitted(observations: readonly Observation[]): WeibullFit {
  const fit = weibullFit(observations);
  if ('refused' in fit) throw new Error(fit.refused);
  return fit;
}

describe('NIST/SEMATECH e-Handbook 8.4.1.3', () => {
  test('scale 606.5280, shape 1.7208, -log likelihood 75.135 (published)', () => {
    const fit = fitted(NIST);
    expect(fit.scale).toBeCloseTo(606.528, 3);
    expect(fit.shape).toBeCloseTo(1.7208, 4);
    expect(fit.logLikelihood).toBeCloseTo(-75.135, 3);
    expect(fit).toMatchObject({ events: 10, n: 20 });
  });

  test('the further digits and the range of the shape (computed with scipy)', () => {
    const fit = fitted(NIST);
    expect(fit.scale).toBeCloseTo(606.52756, 4);
    expect(fit.shape).toBeCloseTo(1.720797, 6);
    expect(fit.logLikelihood).toBeCloseTo(-75.13461816447487, 9);
    expect(fit.shapeLow).toBeCloseTo(0.905645, 5);
    expect(fit.shapeHigh).toBeCloseTo(2.885738, 5);
  });

  test('the likelihood is that of jstat, and no neighbour has a higher one', () => {
    const { shape, scale, logLikelihood } = fitted(NIST);
    expect(likelihood(NIST, shape, scale)).toBeCloseTo(logLikelihood, 8);
    for (const [k, s] of [
      [1.01, 1],
      [0.99, 1],
      [1, 1.01],
      [1, 0.99],
    ] as const) {
      expect(likelihood(NIST, shape * k, scale * s)).toBeLessThan(logLikelihood);
    }
  });
});

function likelihood(observations: readonly Observation[], shape: number, scale: number): number {
  return observations.reduce((sum, { time, event }) => {
    const chance = event
      ? jStat.weibull.pdf(time, scale, shape)
      : 1 - jStat.weibull.cdf(time, scale, shape);
    return sum + Math.log(chance);
  }, 0);
}

const lives = fc
  .array(fc.record({ time: fc.integer({ min: 1, max: 4000 }), event: fc.boolean() }), {
    minLength: 12,
    maxLength: 60,
  })
  .filter((each) => {
    const failed = each.filter(({ event }) => event).map(({ time }) => time);
    return failed.length >= 5 && new Set(failed).size > 1;
  });

test('counting in other units moves the scale alone', () => {
  fc.assert(
    fc.property(lives, fc.double({ min: 1e-6, max: 1e6, noNaN: true }), (days, factor) => {
      const inDays = fitted(days);
      const inOther = fitted(days.map(({ time, event }) => ({ time: time * factor, event })));
      expect(inOther.shape / inDays.shape).toBeCloseTo(1, 6);
      expect(inOther.shapeHigh / inDays.shapeHigh).toBeCloseTo(1, 6);
      expect(inOther.shapeLow / inDays.shapeLow).toBeCloseTo(1, 6);
      expect(inOther.scale / (inDays.scale * factor)).toBeCloseTo(1, 6);
    }),
    { numRuns: runs(60) },
  );
});

test('the ends of the range stand 1.92 under the top of the profile', () => {
  fc.assert(
    fc.property(lives, (days) => {
      const fit = fitted(days);
      const events = days.filter(({ event }) => event);
      for (const shape of [fit.shapeLow, fit.shapeHigh]) {
        const scale = Math.exp(logMeanPower(days, events.length, shape) / shape);
        const profile = directLikelihood(days, shape, scale);
        expect(fit.logLikelihood - profile).toBeCloseTo(jStat.chisquare.inv(0.95, 1) / 2, 4);
      }
      expect(fit.shapeLow).toBeLessThan(fit.shape);
      expect(fit.shapeHigh).toBeGreaterThan(fit.shape);
    }),
    { numRuns: runs(60) },
  );
});

/** Log of (sum of t^shape) / events, kept from overflow by taking out the largest term. */
function logMeanPower(days: readonly Observation[], events: number, shape: number): number {
  const logs = days.map(({ time }) => shape * Math.log(time));
  const top = Math.max(...logs);
  const sum = logs.reduce((total, log) => total + Math.exp(log - top), 0);
  return top + Math.log(sum / events);
}

function directLikelihood(days: readonly Observation[], shape: number, scale: number): number {
  return days.reduce((sum, { time, event }) => {
    const hazard = event ? Math.log(shape / time) + shape * Math.log(time / scale) : 0;
    return sum + hazard - (time / scale) ** shape;
  }, 0);
}

test('under five failures it is refused with the count', () => {
  const four = NIST.filter((_, index) => index < 4 || index > 9);
  expect(weibullFit(four)).toEqual({
    refused: '4 of 14 failed; a fit needs at least 5 failures',
    events: 4,
  });
  expect(weibullFit([])).toMatchObject({ events: 0 });
  expect(weibullFit(NIST, { minFailures: 11, shapeConfidence: 0.95 })).toMatchObject({
    events: 10,
  });
});

test('it is refused where every failure stands at the longest time', () => {
  const same = Array.from({ length: 6 }, () => ({ time: 700, event: true }));
  expect(weibullFit(same)).toMatchObject({ refused: expect.stringContaining('700'), events: 6 });
  expect(weibullFit([...same, { time: 20, event: false }])).toMatchObject({ events: 6 });
  expect(weibullFit([...same, { time: 701, event: false }])).toHaveProperty('shape');
});

test('failures a second apart in ten years are still fitted', () => {
  const close = [0, 1, 2, 3, 4, 5].map((i) => ({ time: 3.15e8 + i, event: true }));
  const fit = fitted(close);
  expect(Number.isFinite(fit.shape) && fit.shape > 1e7).toBe(true);
  expect(fit.scale).toBeGreaterThan(3.15e8);
  expect(fit.scale).toBeLessThan(3.15e8 + 5);
});

test.each([0, -3, Number.NaN, Number.POSITIVE_INFINITY])('refuses the time %d by name', (time) => {
  expect(() => weibullFit([...NIST, { time, event: false }])).toThrow(/observations\[20\]\.time/);
});

test('the chance of the coming weeks is that of the distribution, given the age', () => {
  const life = { shape: 1.7, scale: 1400 };
  const sound = (time: number): number => 1 - jStat.weibull.cdf(time, life.scale, life.shape);
  for (const age of [0, 200, 1000, 2500]) {
    expect(chanceWithin(life, age, 56)).toBeCloseTo(1 - sound(age + 56) / sound(age), 10);
  }
  expect(chanceWithin(life, 1e6, 56)).toBeLessThanOrEqual(1);
  expect(() => chanceWithin(life, -1, 56)).toThrow(RangeError);
});
