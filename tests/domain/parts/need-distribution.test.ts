import * as fc from 'fast-check';
import { expect, test } from 'vitest';
import { chanceShort, needDistribution } from '../../../src/domain/parts/need-distribution.ts';
import type { VisitNeed } from '../../../src/domain/parts/need-distribution.ts';
import { poissonBinomial } from '../../../src/domain/parts/poisson-binomial.ts';

const chance = fc.double({ min: 0, max: 1, noNaN: true });
const visits = fc.array(fc.record({ comes: chance, chances: fc.array(chance, { maxLength: 4 }) }), {
  maxLength: 5,
});

/** Which visits take place, one case after the other; then the pieces of those that do. */
function byCases(all: readonly VisitNeed[]): number[] {
  const total = Array.from({ length: all.flatMap(({ chances }) => chances).length + 1 }, () => 0);
  for (let outcome = 0; outcome < 2 ** all.length; outcome += 1) {
    const happens = all.map((_, bit) => Math.floor(outcome / 2 ** bit) % 2 === 1);
    const weight = all.reduce(
      (product, { comes }, i) => product * (happens[i] === true ? comes : 1 - comes),
      1,
    );
    const pieces = all.flatMap(({ chances }, i) => (happens[i] === true ? chances : []));
    poissonBinomial(pieces).forEach((each, k) => (total[k]! += weight * each));
  }
  return total;
}

test('equals the sum over which visits take place', () => {
  fc.assert(
    fc.property(visits, (all) => {
      const cases = byCases(all);
      const total = needDistribution(all);
      expect(total).toHaveLength(cases.length);
      total.forEach((weight, k) => expect(weight).toBeCloseTo(cases[k]!, 12));
    }),
  );
});

test('with every visit certain it is the distribution of the single pieces', () => {
  fc.assert(
    fc.property(visits, (all) => {
      const certain = all.map(({ chances }) => ({ comes: 1, chances }));
      const pieces = poissonBinomial(all.flatMap(({ chances }) => chances));
      needDistribution(certain).forEach((weight, k) => expect(weight).toBeCloseTo(pieces[k]!, 12));
    }),
  );
});

test('the chance of running short counts what lies above the stock', () => {
  const coins = needDistribution([{ comes: 1, chances: [0.5, 0.5] }]);
  expect([-1, 0, 1, 2, 9].map((stock) => chanceShort(coins, stock))).toEqual([1, 0.75, 0.25, 0, 0]);
});

test('a visit whose chance is no chance is refused', () => {
  expect(() => needDistribution([{ comes: 1.2, chances: [] }])).toThrow(/comes/);
  expect(() => needDistribution([{ comes: 1, chances: [-1] }])).toThrow(/chances\[0\]/);
});
