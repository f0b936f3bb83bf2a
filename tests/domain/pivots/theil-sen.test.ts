import * as fc from 'fast-check';
import { probit } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { pointsOf } from '../../../src/domain/pivots/points.ts';
import { theilSen } from '../../../src/domain/pivots/theil-sen.ts';
import { TheilSenRegression } from './theil-sen-reference.ts';

function fit(x: readonly number[], y: readonly number[], confidence = 0.95) {
  const line = theilSen(pointsOf(x, y), confidence);
  if (!line) throw new Error('no line');
  return line;
}

// Sen (1968), J. Am. Stat. Assoc. 63, 1379-1389, section 5 (published, secondary copy).
const SEN_X = [1, 2, 3, 4, 10, 12, 18];
const SEN_Y = [9, 15, 19, 20, 45, 55, 78];

describe("Theil-Sen on Sen's data", () => {
  it('gives the published slope, interval and intercept', () => {
    const line = fit(SEN_X, SEN_Y, 0.93);
    expect(line.slope).toBe(4);
    // Printed as 3.71 to 4.38; exactly 26/7 and 35/8 (computed with scipy 1.17.1).
    expect(line.low).toBeCloseTo(26 / 7, 14);
    expect(line.high).toBeCloseTo(35 / 8, 14);
    // median(y) - slope × median(x) (published).
    expect(line.intercept).toBe(4);
  });

  it('gives the 90 % interval (computed with scipy 1.17.1)', () => {
    const line = fit(SEN_X, SEN_Y, 0.9);
    expect(line.low).toBeCloseTo(3.75, 14);
    expect(line.high).toBeCloseTo(46 / 11, 14);
  });

  it('meets 100 at 24.0 with the intercept through the medians (computed)', () => {
    const line = fit(SEN_X, SEN_Y);
    expect((100 - line.intercept) / line.slope).toBe(24);
  });

  it('does not depend on the order of the points', () => {
    const order = [3, 6, 0, 5, 1, 4, 2];
    const shuffled = fit(
      order.map((i) => SEN_X[i] ?? 0),
      order.map((i) => SEN_Y[i] ?? 0),
      0.93,
    );
    expect(shuffled).toEqual(fit(SEN_X, SEN_Y, 0.93));
  });
});

describe('Theil-Sen on other published and computed cases', () => {
  it('gives slope 1/2 and intercept 1/2 for 0, 1, 1 (published, test of scipy)', () => {
    const line = fit([0, 1, 2], [0, 1, 1]);
    expect(line.slope).toBe(0.5);
    expect(line.intercept).toBe(0.5);
  });

  it('has no line where all x are equal (published: NaN in scipy)', () => {
    expect(theilSen(pointsOf([2, 2, 2], [1, 2, 3]), 0.95)).toBeNull();
  });

  // All computed with scipy.stats.theilslopes 1.17.1 on numbers made for this project; the second
  // and the last have ties in x and y.
  it.each([
    {
      x: [0, 1, 2, 3, 4],
      y: [1.5, -0.6, 1.6, 2.4, 2.1],
      slope: 0.275,
      intercept: 1.05,
      at95: [-2.1, 2.2],
      at80: [-0.3, 1.5],
    },
    {
      x: [0, 0, 2, 2, 3],
      y: [1.1, 0.4, -1.9, 0.9, 1.4],
      slope: 0.175,
      intercept: 0.55,
      at95: [-1.5, 3.3],
      at80: [-1.15, 0.5],
    },
    {
      x: [1, 2, 3, 8, 9, 11, 13, 14],
      y: [0.6, 1.8, 0.5, 2.8, 2.4, 4.8, 5.2, 5.0],
      slope: 0.3358974358974359,
      intercept: -0.25512820512820555,
      at95: [0.0857142857142857, 0.52],
      at80: [0.225, 0.46],
    },
    {
      x: [1, 1, 4, 6, 8, 10, 11, 13, 14, 15, 20, 20],
      y: [1.4, 1.5, 2.5, 1.4, 2.5, 2.5, 2.8, 4.1, 4.7, 3.8, 2.4, 7.1],
      slope: 0.21833333333333332,
      intercept: 0.2075,
      at95: [0.05263157894736842, 0.3333333333333333],
      at80: [0.12222222222222223, 0.2875],
    },
  ])('agrees with scipy on $x', ({ x, y, slope, intercept, at95, at80 }) => {
    const line = fit(x, y);
    expect(line.slope).toBeCloseTo(slope, 12);
    expect(line.intercept).toBeCloseTo(intercept, 12);
    expect(line.low).toBeCloseTo(at95[0] ?? NaN, 12);
    expect(line.high).toBeCloseTo(at95[1] ?? NaN, 12);
    expect(fit(x, y, 0.8).low).toBeCloseTo(at80[0] ?? NaN, 12);
    expect(fit(x, y, 0.8).high).toBeCloseTo(at80[1] ?? NaN, 12);
  });

  it('keeps a line of which four points in ten are spoilt inside its interval', () => {
    // y = 5x - 3 with the first four set to 1000 (points of a published test of scipy).
    const x = Array.from({ length: 10 }, (_, i) => i);
    const y = x.map((value) => (value < 4 ? 1000 : 5 * value - 3));
    const line = fit(x, y);
    expect(line.low).toBeLessThanOrEqual(5);
    expect(line.high).toBeGreaterThanOrEqual(5);
  });

  it('gives 0 with no width where all y are equal', () => {
    const line = { slope: 0, low: 0, high: 0, intercept: 5 };
    expect(fit([0, 1, 2, 3], [5, 5, 5, 5])).toMatchObject(line);
  });
});

describe('what the interval attains', () => {
  // One less twice the exact tail of Kendall's S (Kendall 1970, table 1): of the greatest S where
  // all slopes are taken, 1/6, 1/24 and 1/120; of 15 with seven readings 0.015 (n = 7, S >= 15).
  it.each([
    { x: [1, 2, 3], y: [0.1, 0.2, 0.35], share: 2 / 3 },
    { x: [1, 2, 3, 4], y: [0.1, 0.2, 0.35, 0.5], share: 11 / 12 },
    { x: [1, 2, 3, 4, 5], y: [0.1, 0.2, 0.35, 0.5, 0.9], share: 59 / 60 },
    { x: [0, 1, 2, 3], y: [5, 5, 5, 5], share: 11 / 12 },
  ])('is $share with the readings $y', ({ x, y, share }) => {
    expect(fit(x, y).coverage).toBeCloseTo(share, 12);
  });

  it('is 97 % on the data of Sen where 93 % are asked for', () => {
    expect(fit(SEN_X, SEN_Y, 0.93).coverage).toBeCloseTo(0.97, 2);
  });

  it.each([6, 12])('is met by lines of %i readings with errors of their own', (n) => {
    const x = Array.from({ length: n }, (_, i) => i);
    const line = fit(x, x);
    let seed = 7;
    const uniform = () => (seed = (seed * 16_807) % 2_147_483_647) / 2_147_483_647;
    const series = Array.from({ length: 4000 }, () => fit(x, x.map(uniform), 0.8));
    const held = series.filter(({ low, high }) => low <= 0 && high >= 0).length / 4000;
    const attained = series[0]?.coverage ?? NaN;
    expect(line.coverage).toBeGreaterThan(0.9);
    expect(Math.abs(held - attained)).toBeLessThan(0.025);
  });
});

const points = fc
  .uniqueArray(fc.integer({ min: -500, max: 500 }), { minLength: 3, maxLength: 80 })
  .chain((x) =>
    fc.record({
      x: fc.constant(x),
      y: fc.array(fc.integer({ min: -500, max: 500 }), {
        minLength: x.length,
        maxLength: x.length,
      }),
    }),
  );

describe('Theil-Sen against independent packages', () => {
  it('has the slope of ml-regression-theil-sen', () => {
    // Of an even number of slopes that package takes the lower of the middle two, not their mean.
    const oddPairs = points.filter(({ x }) => x.length % 4 === 2 || x.length % 4 === 3);
    fc.assert(
      fc.property(oddPairs, ({ x, y }) => {
        expect(fit(x, y).slope).toBeCloseTo(new TheilSenRegression(x, y).slope, 9);
      }),
    );
  });

  it("has an interval of the ranks that simple-statistics' normal quantile gives", () => {
    // Ranks by Sen's equation 2.6 with distinct x and y, where no tie term enters.
    const distinct = points.filter(({ y }) => new Set(y).size === y.length);
    fc.assert(
      fc.property(distinct, fc.constantFrom(0.8, 0.9, 0.95), ({ x, y }, confidence) => {
        const n = x.length;
        const half = probit((1 + confidence) / 2) * Math.sqrt((n * (n - 1) * (2 * n + 5)) / 18);
        const slopes = x
          .flatMap((xi, i) =>
            x.slice(i + 1).map((xj, k) => ((y[i + 1 + k] ?? 0) - (y[i] ?? 0)) / (xj - xi)),
          )
          .sort((a, b) => a - b);
        const line = fit(x, y, confidence);
        // The quantile of that package is good to three digits: it may move a rank by one.
        const near = (rank: number) => slopes.slice(Math.max(rank - 1, 0), Math.max(rank + 2, 1));
        const lowRank = Math.round((slopes.length - half) / 2) - 1;
        const highRank = Math.round((slopes.length + half) / 2);
        expect(near(Math.min(Math.max(lowRank, 0), slopes.length - 1))).toContain(line.low + 0);
        expect(near(Math.min(highRank, slopes.length - 1))).toContain(line.high + 0);
      }),
    );
  });
});
