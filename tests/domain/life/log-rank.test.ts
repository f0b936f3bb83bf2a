import * as fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  chiSquare1Quantile,
  chiSquare1Survival,
  erfc,
} from '../../../src/domain/statistics/chi-square.ts';
import { logRank } from '../../../src/domain/life/log-rank.ts';
import type { LogRankResult, Weighting } from '../../../src/domain/life/log-rank.ts';
import type { Observation } from '../../../src/domain/life/observation.ts';
import { jStat } from './jstat.ts';
import { PLACEBO, SIX_MP } from './leukaemia.ts';

function tested(
  a: readonly Observation[],
  b: readonly Observation[],
  weighting?: Weighting,
): LogRankResult {
  const result = logRank(a, b, weighting);
  if ('refused' in result) throw new Error(result.refused);
  return result;
}

// 16.8 published in the tests of lifelines; O, E, V and the further digits computed; the last
// digits of chi-square and p computed with scipy.stats.logrank.
test('6-MP against placebo', () => {
  const result = tested(SIX_MP, PLACEBO);
  expect(result.chiSquare).toBeCloseTo(16.792940989216536, 10);
  expect(result.p).toBeCloseTo(4.168809109334529e-5, 15);
  expect(result.groups[0]).toMatchObject({ n: 21, observed: 9 });
  expect(result.groups[0].expected).toBeCloseTo(19.2505, 4);
  expect(result.variance).toBeCloseTo(6.257, 4);
  expect(result.groups[1].observed).toBe(21);
  expect(result.groups[1].expected).toBeCloseTo(30 - 19.2505, 4);
});

// Published in the tests of the lifelines package, on the same data.
test.each([
  ['wilcoxon', 13.457852],
  ['tarone-ware', 15.123575],
  ['peto', 14.084139],
] as const)('weighted %s', (weighting, chiSquare) => {
  // Printed without rounding: 14.0841399 stands as 14.084139.
  const digits = Math.floor(tested(SIX_MP, PLACEBO, weighting).chiSquare * 1e6) / 1e6;
  expect(digits).toBeCloseTo(chiSquare, 9);
});

const life = fc.record({ time: fc.integer({ min: 0, max: 12 }), event: fc.boolean() });

test('swapping the groups changes nothing but their order', () => {
  fc.assert(
    fc.property(fc.array(life), fc.array(life), (a, b) => {
      const refused = 'refused' in logRank(a, b);
      expect('refused' in logRank(b, a)).toBe(refused);
      fc.pre(!refused);
      const one = tested(a, b);
      const other = tested(b, a);
      expect(one.chiSquare).toBeCloseTo(other.chiSquare, 8);
      expect(one.groups[0].expected).toBeCloseTo(other.groups[1].expected, 8);
    }),
  );
});

test('two groups with the same lives do not differ', () => {
  const { chiSquare, p } = tested(SIX_MP, SIX_MP);
  expect(chiSquare).toBeCloseTo(0, 12);
  expect(p).toBeCloseTo(1, 6);
});

test('is refused with the count where nothing failed while both were watched', () => {
  const early = [{ time: 1, event: false }];
  const late = [{ time: 5, event: true }];
  expect(logRank(early, late)).toEqual({ refused: expect.any(String), events: 1 });
  expect(logRank([], [])).toEqual({ refused: expect.any(String), events: 0 });
});

test('complementary error function agrees with jstat', () => {
  for (let z = 0; z < 5; z += 0.05) expect(Math.abs(erfc(z) - jStat.erfc(z))).toBeLessThan(1e-12);
});

test('complementary error function keeps its digits far out', () => {
  // erfc(5) = 1.5374597944280349e-12: from memory of the tables, computed again with scipy.
  expect(erfc(5) / 1.5374597944280349e-12).toBeCloseTo(1, 12);
  expect(() => erfc(-1)).toThrow(RangeError);
  expect(() => erfc(Number.NaN)).toThrow(RangeError);
});

test('chi-square with one degree of freedom agrees with jstat', () => {
  for (const x of [0, 0.1, 1, 3.84, 8, 16.793]) {
    expect(chiSquare1Survival(x)).toBeCloseTo(1 - jStat.chisquare.cdf(x, 1), 10);
  }
  for (const confidence of [0.5, 0.9, 0.95, 0.999]) {
    expect(chiSquare1Quantile(confidence)).toBeCloseTo(jStat.chisquare.inv(confidence, 1), 6);
  }
});
