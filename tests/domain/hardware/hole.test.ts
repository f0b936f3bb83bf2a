import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { valuesOf } from '../../../src/domain/figures/figure.ts';
import { HOLE_FIGURES, holeVerdict } from '../../../src/domain/hardware/hole.ts';
import {
  CLEARANCE_HOLES,
  NOMINAL_MM,
  THREADS,
  type Thread,
} from '../../../src/domain/hardware/iso-sizes.ts';
import { VERDICTS } from '../../../src/domain/pivots/state.ts';

function judged(thread: Thread, a: number, b: number) {
  const found = holeVerdict({ thread, diametersMm: [a, b] });
  if ('refused' in found) throw new Error(found.refused);
  return found;
}

describe('the verdict on a hole', () => {
  // Hole sizes of ISO 273 (published, secondary copy); the steps between them are a shop rule.
  test.each([
    ['M6', 6.6, 6.6, 'good', 0.6],
    ['M8', 9, 9, 'good', 1],
    ['M6', 6.9, 6.6, 'watch', 0.9],
    ['M6', 6.6, 6.9, 'watch', 0.9],
    ['M6', 7, 6.6, 'watch', 1],
    ['M8', 10, 9, 'watch', 2],
    ['M6', 7.1, 6.6, 'plan', 1.1],
    ['M8', 10.1, 9.6, 'plan', 2.1],
    ['M8', 10.8, 10.2, 'plan', 2.8],
    ['M8', 10.9, 10.2, 'act', 2.9],
    ['M8', 10.3, 9.4, 'act', 2.3],
    ['M5', 5.5, 5.3, 'good', 0.5],
    ['M10', 11.1, 10.5, 'watch', 1.1],
    ['M12', 14.6, 14.5, 'plan', 2.6],
  ] as const)('%s, %d × %d mm is %s with %d mm of play', (thread, a, b, verdict, play) => {
    const found = judged(thread, a, b);
    expect(found.verdict).toBe(verdict);
    expect(found.playMm).toBe(play);
    expect(found.largestMm).toBe(Math.max(a, b));
    expect(found.limitsMm).toEqual(CLEARANCE_HOLES.rows[thread]);
    expect(found.because).toContain(`${Math.max(a, b)} mm`);
  });

  test.each([
    ['M7', [7.5, 7.5], /one of M5, M6, M8, M10, M12/],
    ['constructor', [7.5, 7.5], /one of/],
    ['M6', [5.9, 6.6], /from the pin of M6, 6 mm/],
    ['M6', [6.6, -6.6], /from the pin/],
    ['M6', [6.6, 12.1], /to 12 mm/],
    ['M6', [Number.NaN, 6.6], /diametersMm/],
    ['M6', [Number.POSITIVE_INFINITY, 6.6], /diametersMm/],
  ] as const)('refuses %s with %j', (thread, [a, b], words) => {
    expect(holeVerdict({ thread, diametersMm: [a, b] })).toEqual({
      refused: expect.stringMatching(words),
    });
  });

  test('never gets better as a hole gets wider, and does not mind which way it was turned', () => {
    const property = fc.property(
      fc.constantFrom(...THREADS),
      fc.integer({ min: 0, max: 400 }),
      fc.integer({ min: 0, max: 400 }),
      fc.integer({ min: 0, max: 100 }),
      (thread, x, y, wider) => {
        const a = NOMINAL_MM[thread] + x / 100;
        const b = NOMINAL_MM[thread] + y / 100;
        const most = NOMINAL_MM[thread] * 2;
        fc.pre(Math.max(a, b) + wider / 100 <= most);
        const now = judged(thread, a, b);
        const later = judged(thread, a + wider / 100, b + wider / 100);
        return (
          judged(thread, b, a).verdict === now.verdict &&
          VERDICTS.indexOf(later.verdict) >= VERDICTS.indexOf(now.verdict)
        );
      },
    );
    expect(fc.check(property, { numRuns: 500 }).counterexample).toBeNull();
  });

  test('follows the limits that a shop sets', () => {
    const values = valuesOf(HOLE_FIGURES, { actBeyondCoarseMm: 0.2 });
    const found = holeVerdict({ thread: 'M8', diametersMm: [10.3, 10.2] }, values);
    expect(found).toMatchObject({ verdict: 'act' });
    expect(judged('M8', 10.3, 10.2).verdict).toBe('plan');
  });
});
