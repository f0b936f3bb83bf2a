import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { exactTail } from '../../../src/domain/pivots/mann-kendall-exact.ts';
import { mannKendall } from '../../../src/domain/pivots/mann-kendall.ts';
import { pointsOf } from '../../../src/domain/pivots/points.ts';
import { jStat } from '../life/jstat.ts';
import { runs } from '../../setup/runs.ts';

function test(y: readonly number[], x: readonly number[] = y.map((_, i) => i)) {
  return mannKendall(pointsOf(x, y));
}

function untied(n: number): number[] {
  return Array.from({ length: n }, () => 1);
}

/** P(S >= s) without ties: half the two-sided chance. */
function oneSided(n: number, s: number): number {
  return (exactTail(untied(n), untied(n))[Math.abs(s)] ?? 0) / 2;
}

describe('Mann-Kendall: score, variance and z', () => {
  // S from a published worked example with its row sums -4, +2, -2, -1; the rest computed.
  it('scores 100, 50, 85, 75, 50 with its tie', () => {
    const { s, variance, z } = test([100, 50, 85, 75, 50]);
    expect(s).toBe(-5);
    expect(variance).toBeCloseTo(15.6667, 4);
    expect(z).toBeCloseTo(-1.0106, 4);
  });

  // The data of EPA QA/G-9's example with p = 0.117 (attribution from memory; values computed).
  it('scores 5, 6, 11, 8, 10', () => {
    const { s, variance, z, p } = test([5, 6, 11, 8, 10]);
    expect(s).toBe(6);
    expect(variance).toBeCloseTo(16.6667, 4);
    expect(z).toBeCloseTo(1.2247, 4);
    expect(p / 2).toBeCloseTo(0.11667, 5);
  });

  // The data of an example in Gilbert (1987), chapter 16 (attribution from memory; computed).
  it('scores 10, 15, 14, 20', () => {
    const { s, variance, p } = test([10, 15, 14, 20]);
    expect(s).toBe(4);
    expect(variance).toBeCloseTo(8.6667, 4);
    expect(p / 2).toBeCloseTo(0.16667, 5);
  });

  it("scores Sen's data (computed)", () => {
    const { s, z, variance, p } = test([9, 15, 19, 20, 45, 55, 78], [1, 2, 3, 4, 10, 12, 18]);
    expect(s).toBe(21);
    expect(variance).toBeCloseTo(44.3333, 4);
    expect(z).toBeCloseTo(3.00376, 5);
    expect(p).toBeCloseTo(0.00039683, 8);
    expect(jStat.erfc(z / Math.SQRT2)).toBeCloseTo(0.00266668, 8);
  });
});

describe('Mann-Kendall: exact chances without ties', () => {
  // One-sided tails, computed by enumeration.
  it.each([
    [4, 4, 0.16667],
    [4, 6, 0.04167],
    [5, 6, 0.11667],
    [5, 8, 0.04167],
    [5, 10, 0.00833],
    [6, 9, 0.06806],
    [6, 11, 0.02778],
    [6, 13, 0.00833],
    [7, 11, 0.06806],
    [7, 13, 0.03452],
    [7, 17, 0.00536],
    [8, 14, 0.05434],
    [8, 16, 0.03051],
    [8, 20, 0.00707],
    [9, 16, 0.05972],
    [9, 18, 0.03759],
    [9, 24, 0.00633],
    [10, 19, 0.05416],
    [10, 21, 0.03628],
    [10, 27, 0.00833],
  ])('n = %i, S >= %i: %f', (n, s, chance) => {
    expect(oneSided(n, s)).toBeCloseTo(chance, 5);
  });

  // Critical values of S for one-sided 90, 95, 99 % (published help page of a test of trend) and
  // 80 % (Table B of a state's published groundwater guidance). Where S can only be even or only
  // odd, a value between two attainable ones stands for the next above it.
  it.each([
    { level: 0.2, of: [4, 5, 6, 7, 8, 10, 11] },
    { level: 0.1, of: [6, 7, 8, 10, 11, 14, 16] },
    { level: 0.05, of: [6, 8, 11, 13, 16, 18, 21] },
    // Four readings cannot reach 99 %: the one above the most attainable, 6, stands in.
    { level: 0.01, of: [7, 10, 13, 17, 20, 24, 27] },
  ])('has the published critical values at $level', ({ level, of }) => {
    for (const [i, critical] of of.entries()) {
      const n = i + 4;
      const pairs = (n * (n - 1)) / 2;
      const attainable = critical + ((critical + pairs) % 2);
      expect(oneSided(n, attainable)).toBeLessThanOrEqual(level);
      expect(oneSided(n, attainable - 2)).toBeGreaterThan(level);
    }
  });

  it('finds no trend in three readings at 5 %, and in four only if all rise', () => {
    expect(test([1, 2, 3]).p).toBeCloseTo(1 / 3, 12);
    expect(test([1, 2, 3, 4]).p / 2).toBeLessThan(0.05);
    expect(test([1, 2, 4, 3]).p / 2).toBeGreaterThan(0.05);
  });
});

function permutations(values: readonly number[]): number[][] {
  if (values.length < 2) return [[...values]];
  return values.flatMap((value, i) =>
    permutations(values.toSpliced(i, 1)).map((rest) => [value, ...rest]),
  );
}

describe('Mann-Kendall: exact chances with ties', () => {
  it('equals counting out every order, with ties in x and y', () => {
    const small = fc.integer({ min: 0, max: 3 });
    const pairs = fc.array(fc.tuple(small, small), { minLength: 3, maxLength: 6 });
    fc.assert(
      fc.property(pairs, (drawn) => {
        const x = drawn.map(([first]) => first);
        const y = drawn.map(([, second]) => second);
        const { s, p } = test(y, x);
        const scores = permutations(y).map((order) => Math.abs(test(order, x).s));
        const tail = scores.filter((score) => score >= Math.abs(s)).length / scores.length;
        expect(p).toBeCloseTo(tail, 12);
      }),
      { numRuns: runs(60) },
    );
  });

  // Counted out over all 40,320 orders by a separate program (Python itertools).
  it('has p = 0.0141369 for eight readings of which none tie', () => {
    const { s, p } = test([0.6, 1.8, 0.5, 2.8, 2.4, 4.8, 5.2, 5.0], [1, 2, 3, 8, 9, 11, 13, 14]);
    expect(s).toBe(20);
    expect(p).toBeCloseTo(0.014136904761904762, 12);
  });

  it('is 1 where all readings are equal', () => {
    expect(test([2, 2, 2, 2])).toMatchObject({ s: 0, p: 1, z: 0 });
  });

  it('goes over to the normal above ten readings, close to the exact chance', () => {
    const ten = test([1, 3, 2, 5, 4, 7, 6, 9, 8, 10]);
    expect(Math.abs(jStat.erfc(ten.z / Math.SQRT2) - ten.p)).toBeLessThan(0.001);
    const eleven = test([1, 3, 2, 5, 4, 7, 6, 9, 8, 10, 11]);
    expect(eleven.p).toBeCloseTo(jStat.erfc(eleven.z / Math.SQRT2), 9);
    expect(eleven.z).toBeCloseTo((47 - 1) / Math.sqrt(165), 12);
  });
});
