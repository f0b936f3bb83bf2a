import { describe, expect, test } from 'vitest';
import type { IntervalLife } from '../../../src/domain/statistics/interval.ts';
import { weibullOfIntervals } from '../../../src/domain/statistics/weibull-intervals.ts';
import { RADIATION_ALONE, RADIATION_WITH_CHEMOTHERAPY } from './cosmesis.ts';

const doubled = (lives: readonly IntervalLife[], shared: boolean): IntervalLife[] =>
  lives.flatMap((life, i) => [
    { ...life, cluster: `${i}` },
    { ...life, cluster: shared ? `${i}` : `${i} again` },
  ]);

describe('a Weibull life known between two looks', () => {
  test.each([
    // Computed with scipy 1.17.1: stats.weibull_min.fit on CensoredData, then its likelihood by
    // Nelder-Mead to 1e-12. Data: see cosmesis.ts.
    ['radiation alone', RADIATION_ALONE, 1.12161, 57.5131, -64.731471],
    ['with chemotherapy', RADIATION_WITH_CHEMOTHERAPY, 2.030238, 28.04247, -75.715068],
  ])('is what an independent package finds: %s', (_name, lives, shape, scale, height) => {
    const fit = weibullOfIntervals(lives)!;
    expect(fit.shape).toBeCloseTo(shape, 4);
    expect(fit.scale).toBeCloseTo(scale, 3);
    expect(fit.logLikelihood).toBeCloseTo(height, 5);
  });

  test('does not depend on the unit', () => {
    const days = RADIATION_ALONE.map(({ after, by }) => ({
      after: after * 30,
      by: by === null ? null : by * 30,
    }));
    const inMonths = weibullOfIntervals(RADIATION_ALONE)!;
    const inDays = weibullOfIntervals(days)!;
    expect(inDays.shape).toBeCloseTo(inMonths.shape, 8);
    expect(inDays.scale / 30).toBeCloseTo(inMonths.scale, 6);
    expect(inDays.covariance!.shape).toBeCloseTo(inMonths.covariance!.shape, 8);
  });

  test('takes a second washer that goes the same way in the same car for no news at all', () => {
    const alone = weibullOfIntervals(RADIATION_ALONE)!;
    const sameCar = weibullOfIntervals(doubled(RADIATION_ALONE, true))!;
    const otherCar = weibullOfIntervals(doubled(RADIATION_ALONE, false))!;
    expect(sameCar.shape).toBeCloseTo(alone.shape, 6);
    expect(sameCar.clusters).toBe(46);
    expect(sameCar.covariance!.shape).toBeCloseTo(alone.covariance!.shape, 8);
    // Twice as many cars would halve it, but for the factor G/(G - 1).
    const factor = 92 / 91 / (46 / 45);
    expect(otherCar.covariance!.shape).toBeCloseTo((alone.covariance!.shape * factor) / 2, 8);
  });

  test.each([
    // Computed with numpy from the formula of Liang & Zeger (1986), derivatives by differences, two
    // neighbours in the table to a cluster, times G/(G - 1).
    ['radiation alone', RADIATION_ALONE, 0.054374, -0.020614, 0.032196],
    ['with chemotherapy', RADIATION_WITH_CHEMOTHERAPY, 0.0072757, 0.0011903, 0.0175297],
  ])('has the sandwich error over clusters: %s', (_name, lives, scale, both, shape) => {
    const pairs = lives.map((life, i) => ({ ...life, cluster: `${Math.floor(i / 2)}` }));
    const { covariance } = weibullOfIntervals(pairs)!;
    expect(covariance!.scale).toBeCloseTo(scale, 5);
    expect(covariance!.both).toBeCloseTo(both, 5);
    expect(covariance!.shape).toBeCloseTo(shape, 5);
  });

  test('gives no error where all washers are of one car', () => {
    const lives = RADIATION_ALONE.map((life) => ({ ...life, cluster: 'one' }));
    expect(weibullOfIntervals(lives)).toMatchObject({ covariance: null, clusters: 1 });
  });

  test.each<[string, IntervalLife[]]>([
    ['nothing failed', [{ after: 3, by: null }]],
    [
      'one look at one age',
      Array.from({ length: 9 }, (_, i) => (i < 4 ? { after: 0, by: 7 } : { after: 7, by: null })),
    ],
    ['all lost in one stretch', Array.from({ length: 9 }, () => ({ after: 3, by: 7 }))],
    [
      'the young lost, the old sound',
      [1, 2, 3, 8, 9].map((at) => (at < 5 ? { after: 0, by: at } : { after: at, by: null })),
    ],
  ])('has no fit where the looks cannot tell: %s', (_name, lives) => {
    expect(weibullOfIntervals(lives)).toBeNull();
  });
});
