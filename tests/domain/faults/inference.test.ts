import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { entropyBits, informationGainBits, updated } from '../../../src/domain/faults/inference.ts';

const chance = fc.double({ min: 0, max: 1, noNaN: true });
const causes = fc
  .array(fc.tuple(fc.double({ min: 0.001, max: 1, noNaN: true }), chance), {
    minLength: 1,
    maxLength: 12,
  })
  .map((pairs) => {
    const total = pairs.reduce((sum, [weight]) => sum + weight, 0);
    return { chances: pairs.map(([w]) => w / total), yes: pairs.map(([, p]) => p) };
  });

function two(p: number) {
  return entropyBits([p, 1 - p]);
}

describe('Bayes', () => {
  test('gives the classic answer: 1 % ill, test 90 % right, 10 % false alarm', () => {
    // 0.009 / (0.009 + 0.099) by hand.
    expect(updated([0.01, 0.99], [0.9, 0.1])[0]).toBeCloseTo(0.009 / 0.108, 12);
  });

  test('sums to one, and stays as it was where no cause explains the answer', () => {
    const property = fc.property(causes, ({ chances, yes }) => {
      const after = updated(chances, yes);
      return Math.abs(after.reduce((sum, p) => sum + p, 0) - 1) < 1e-9;
    });
    expect(fc.check(property).counterexample).toBeNull();
    expect(updated([0.25, 0.75], [0, 0])).toEqual([0.25, 0.75]);
  });
});

// Values by hand from Shannon's definition.
describe('entropy', () => {
  test.each([
    [[1], 0],
    [[0.5, 0.5], 1],
    [[0.25, 0.25, 0.25, 0.25], 2],
    [[0.5, 0.25, 0.25], 1.5],
    [[1, 0], 0],
  ])('of %j is %d bits', (chances, bits) => {
    expect(entropyBits(chances)).toBeCloseTo(bits, 12);
  });
});

describe('expected information gain', () => {
  test.each([
    ['a check that parts two causes for certain', [0.5, 0.5], [1, 0], 1],
    ['a check that answers alike for both', [0.5, 0.5], [0.7, 0.7], 0],
    ['a check that halves four causes', [0.25, 0.25, 0.25, 0.25], [1, 1, 0, 0], 1],
    // H(1/4) = 0.25 × 2 + 0.75 × log2(4/3) = 0.811278
    ['a check that picks one of four', [0.25, 0.25, 0.25, 0.25], [1, 0, 0, 0], 0.811278],
    // 1 - H(0.1), H(0.1) = 0.1 × log2(10) + 0.9 × log2(10/9) = 0.468996
    ['a check right in nine of ten', [0.5, 0.5], [0.9, 0.1], 0.531004],
    // H(0.5) - H(0.2)/2 - H(0.8)/2 with yes = 0.5, and so 1 - 0.721928
    ['a check right in four of five', [0.5, 0.5], [0.8, 0.2], 0.278072],
  ])('of %s', (_name, chances, yes, bits) => {
    expect(informationGainBits(chances, yes)).toBeCloseTo(bits, 6);
  });

  test('is the mutual information of cause and answer, reckoned from the side of the answer', () => {
    const property = fc.property(causes, ({ chances, yes }) => {
      const anyYes = chances.reduce((sum, p, i) => sum + p * (yes[i] ?? 0), 0);
      const noise = chances.reduce((sum, p, i) => sum + p * two(yes[i] ?? 0), 0);
      return Math.abs(informationGainBits(chances, yes) - (two(anyYes) - noise)) < 1e-9;
    });
    expect(fc.check(property).counterexample).toBeNull();
  });
});
