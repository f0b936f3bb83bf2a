import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { valuesOf } from '../../../src/domain/figures/figure.ts';
import { holeRepair } from '../../../src/domain/hardware/bush.ts';
import { HOLE_FIGURES, holeVerdict } from '../../../src/domain/hardware/hole.ts';
import {
  CLEARANCE_HOLES,
  NOMINAL_MM,
  THREADS,
  type Thread,
} from '../../../src/domain/hardware/iso-sizes.ts';
import { PIVOT_FIGURES } from '../../../src/domain/pivots/figures.ts';
import { VERDICTS } from '../../../src/domain/pivots/state.ts';
import { runs } from '../../setup/runs.ts';

function judged(thread: Thread, a: number, b: number, use?: 'pivot' | 'fixing') {
  const found = holeVerdict({ thread, diametersMm: [a, b], use });
  if ('refused' in found) throw new Error(found.refused);
  return found;
}

describe('the verdict on a hole', () => {
  // The steps are shop rules: radial play 0.25, 0.5 and 1 mm, out of round 0.1, 0.3 and 0.8 mm.
  test.each([
    ['M8', 8.2, 8.2, 'good', 0.2],
    ['M8', 8.2, 8.05, 'watch', 0.2],
    ['M8', 8.4, 8.4, 'watch', 0.4],
    ['M8', 8.2, 8.2, 'good', 0.2],
    ['M8', 8.6, 8.55, 'plan', 0.6],
    ['M8', 8.45, 8.1, 'plan', 0.45],
    ['M8', 9.9, 8, 'act', 1.9],
    ['M8', 8, 10, 'act', 2],
    ['M8', 8.8, 8, 'plan', 0.8],
    ['M8', 9.01, 9, 'act', 1.01],
    ['M6', 6.6, 6.6, 'plan', 0.6],
  ] as const)(
    'of a pivot: %s, %d × %d mm is %s with %d mm of play',
    (thread, a, b, verdict, play) => {
      const found = judged(thread, a, b);
      expect(found).toMatchObject({ use: 'pivot', verdict, playMm: play, limitsMm: null });
      expect(found.because).toContain(`${Math.max(a, b)} mm`);
    },
  );

  test('agrees with the limits of the play that is read with the pin in', () => {
    const pivots = valuesOf(PIVOT_FIGURES);
    const { playWatchOver, playPlanOver, playActOver } = valuesOf(HOLE_FIGURES);
    expect([playWatchOver, playPlanOver, playActOver]).toEqual([
      pivots.radialWatchOver,
      pivots.radialPlanOver,
      pivots.radialActOver,
    ]);
  });

  test.each([
    [[8.6, 8.55], undefined, ': ream it to 10 mm for a bush'],
    [[9.9, 8], undefined, ': do not use it: ream it to 10 mm for a bush'],
    [[10.8, 10.2], undefined, ': do not use it: ream it to 11 mm for a bush'],
    [[11.95, 11.9], undefined, ', as far as is known without the width of the leaf: weld'],
    [[11.95, 11.9], 40, ': do not use it: ream it to 12.5 mm for a bush'],
    // A leaf 18 mm wide takes a bush of 9 mm, and one with 1 mm of wall on a pin of 8 mm is 10 mm wide.
    [[8.6, 8.55], 18, ' (good): no bush fits: weld and drill anew, or renew the leaf'],
    [[10.8, 10.2], 20, ': do not use it: no bush fits: weld and drill anew, or renew the leaf'],
  ] as const)(
    'names the bush for %j in a leaf of %s, or says that none fits',
    (diametersMm, leafWidthMm, words) => {
      const found = holeVerdict({ thread: 'M8', diametersMm, leafWidthMm });
      if ('refused' in found) throw new Error(found.refused);
      expect(found.because).toContain(words);
      const { largestMm, outOfRoundMm } = found;
      const repair = holeRepair({ thread: 'M8', largestMm, outOfRoundMm, leafWidthMm });
      expect(found.because.includes('no bush fits')).toBe(repair.how === 'weld');
    },
  );

  // Hole sizes of ISO 273 (published, secondary copy); the steps between them are a shop rule.
  test.each([
    ['M6', 6.6, 6.6, 'good', 0.6],
    ['M8', 9, 9, 'good', 1],
    ['M6', 6.9, 6.6, 'watch', 0.9],
    ['M6', 7, 6.6, 'watch', 1],
    ['M8', 10, 9, 'watch', 2],
    ['M6', 7.1, 6.6, 'plan', 1.1],
    ['M8', 10.8, 10.2, 'plan', 2.8],
    ['M8', 10.9, 10.2, 'act', 2.9],
    ['M8', 10.3, 9.4, 'act', 2.3],
    ['M12', 14.6, 14.5, 'plan', 2.6],
  ] as const)(
    'of a fixing: %s, %d × %d mm is %s with %d mm of play',
    (thread, a, b, verdict, play) => {
      const found = judged(thread, a, b, 'fixing');
      expect(found).toMatchObject({ use: 'fixing', verdict, playMm: play });
      expect(found.limitsMm).toEqual(CLEARANCE_HOLES.rows[thread]);
    },
  );

  test.each([
    ['M7', [7.5, 7.5], /one of M5, M6, M8, M10, M12/],
    ['constructor', [7.5, 7.5], /one of/],
    ['M6', [5.9, 6.6], /from the pin of M6, 6 mm/],
    ['M6', [6.6, -6.6], /from the pin/],
    ['M8', [7.97, 8], /no hole is narrower than the pin.*but for the 0.02 mm/],
    ['M6', [6.6, 12.1], /to 12 mm/],
    ['M6', [Number.NaN, 6.6], /diametersMm/],
    ['M6', [Number.POSITIVE_INFINITY, 6.6], /diametersMm/],
  ] as const)('refuses %s with %j', (thread, [a, b], words) => {
    expect(holeVerdict({ thread, diametersMm: [a, b] })).toEqual({
      refused: expect.stringMatching(words),
    });
  });

  // What callipers repeat to: from memory.
  test.each([
    [7.98, 7.98, 'good', 0],
    [7.98, 8.01, 'good', 0.03],
    [7.98, 8.45, 'plan', 0.47],
  ] as const)('takes %d × %d mm on M8 for the reading error that it is', (a, b, verdict, round) => {
    const playMm = Math.max(0, Math.round((b - 8) * 100) / 100);
    expect(judged('M8', a, b)).toMatchObject({ verdict, playMm, outOfRoundMm: round });
    expect(judged('M8', a, b).because).toContain(`${playMm} mm of play`);
  });

  test('is never milder as play or out-of-round grows, and does not mind which way it was turned', () => {
    const property = fc.property(
      fc.constantFrom(...THREADS),
      fc.constantFrom('pivot' as const, 'fixing' as const),
      fc.integer({ min: 0, max: 400 }),
      fc.integer({ min: 0, max: 400 }),
      fc.integer({ min: 0, max: 100 }),
      (thread, use, x, y, more) => {
        const pin = NOMINAL_MM[thread];
        const narrow = pin + Math.min(x, y) / 100;
        const wide = pin + Math.max(x, y) / 100;
        fc.pre(wide + more / 100 <= pin * 2);
        const rank = (a: number, b: number) => VERDICTS.indexOf(judged(thread, a, b, use).verdict);
        const now = rank(narrow, wide);
        return (
          rank(wide, narrow) === now &&
          // All round wider, wider one way, and rounder the other way less.
          rank(narrow + more / 100, wide + more / 100) >= now &&
          rank(narrow, wide + more / 100) >= now &&
          rank(Math.max(pin, narrow - more / 100), wide) >= now
        );
      },
    );
    expect(fc.check(property, { numRuns: runs(500) }).counterexample).toBeNull();
  });

  test('follows the limits that a shop sets', () => {
    const values = valuesOf(HOLE_FIGURES, { actBeyondCoarseMm: 0.2 });
    const found = holeVerdict({ thread: 'M8', diametersMm: [10.3, 10.2], use: 'fixing' }, values);
    expect(found).toMatchObject({ verdict: 'act' });
    expect(judged('M8', 10.3, 10.2, 'fixing').verdict).toBe('plan');
  });
});
