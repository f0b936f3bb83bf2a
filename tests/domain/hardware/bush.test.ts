import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { BUSH_FIGURES, holeRepair, STOCK_BUSHES } from '../../../src/domain/hardware/bush.ts';
import { FIT_CLASSES, fitLimits, ISO_FITS } from '../../../src/domain/hardware/iso-fits.ts';
import { NOMINAL_MM, THREADS } from '../../../src/domain/hardware/iso-sizes.ts';
import { valuesOf } from '../../../src/domain/figures/figure.ts';

const VALUES = valuesOf(BUSH_FIGURES);

describe('the repair of a worn hole', () => {
  test.each([
    ['M8', 8.7, undefined, 10],
    ['M8', 9.9, undefined, 10],
    ['M8', 9.95, undefined, 11],
    // A 10 mm bush for a hole of 10.8 mm would fall through it.
    ['M8', 10.8, undefined, 11],
    ['M8', 11.6, undefined, 12],
    ['M6', 6.8, undefined, 8],
    ['M6', 8.2, 40, 10],
    ['M10', 12.2, undefined, 14],
  ] as const)(
    '%s worn to %d mm, leaf %s: bush of %d mm',
    (thread, largestMm, leafWidthMm, outside) => {
      expect(holeRepair({ thread, largestMm, leafWidthMm })).toMatchObject({
        how: 'bush',
        reamMm: outside,
        outsideMm: outside,
        insideMm: NOMINAL_MM[thread],
      });
    },
  );

  test.each([
    ['M8', 11.95, undefined],
    ['M8', 10.8, 20],
    ['M6', 9, undefined],
  ] as const)(
    '%s worn to %d mm, leaf %s: weld and drill anew',
    (thread, largestMm, leafWidthMm) => {
      expect(holeRepair({ thread, largestMm, leafWidthMm }).how).toBe('weld');
    },
  );

  // Plain geometry: 8.0 wide and 9.9 long, worn to one side, reaches 5.9 mm from the old middle.
  test('says where the pin goes when a hole worn to one side is reamed in its own middle', () => {
    const because = (largestMm: number, outOfRoundMm: number) =>
      holeRepair({ thread: 'M8', largestMm, outOfRoundMm }).because;
    expect(because(9.9, 1.9)).toContain('its middle has moved by up to 0.95 mm');
    expect(because(9.9, 1.9)).toContain('to ream on the old middle takes 11.9 mm');
    // 8.4 mm long reaches 4.4 mm: a reamer of 10 mm cleans it up on the old middle too.
    expect(because(8.4, 0.4)).not.toContain('middle');
    expect(because(9.9, 0)).not.toContain('middle');
  });

  test('never has a bush that is smaller than its hole, too thin, or too large for its leaf', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...THREADS),
        fc.integer({ min: 0, max: 1_200 }),
        fc.option(fc.integer({ min: 10, max: 60 }), { nil: undefined }),
        (thread, wear, leafWidthMm) => {
          const pin = NOMINAL_MM[thread];
          const largestMm = pin + wear / 100;
          const repair = holeRepair({ thread, largestMm, leafWidthMm });
          if (repair.how === 'weld') return;
          const { outsideMm, reamMm, wallMm } = repair;
          expect(reamMm).toBe(outsideMm);
          expect(outsideMm).toBeGreaterThanOrEqual(largestMm + VALUES.cleanUpMm - 1e-9);
          expect(wallMm).toBeGreaterThanOrEqual(VALUES.leastWallMm - 1e-9);
          const leaf = leafWidthMm ?? Number.POSITIVE_INFINITY;
          const left = (leaf - outsideMm) / 2;
          expect(left).toBeGreaterThanOrEqual(outsideMm * VALUES.leastEdgeTimes - 1e-6);
        },
      ),
    );
  });

  test('is no smaller for a wider hole, and once a hole must be welded a wider one must too', () => {
    const size = (thread: (typeof THREADS)[number], mm: number) => {
      const repair = holeRepair({ thread, largestMm: mm, leafWidthMm: 40 });
      return repair.how === 'weld' ? Number.POSITIVE_INFINITY : repair.outsideMm;
    };
    for (const thread of THREADS) {
      const sizes = Array.from({ length: 600 }, (_, i) =>
        size(thread, NOMINAL_MM[thread] + i / 100),
      );
      expect(sizes.every((mm, i) => i === 0 || mm >= (sizes[i - 1] ?? 0))).toBe(true);
    }
  });

  test('lists ready-made bushes from the smallest on', () => {
    for (const thread of THREADS) {
      expect([...STOCK_BUSHES[thread]].sort((a, b) => a - b)).toEqual(STOCK_BUSHES[thread]);
    }
  });
});

describe('the fits', () => {
  // ISO 286-1: the tolerance unit i = 0.45 ∛D + 0.001 D µm at the geometric mean D of a range of sizes
  // in mm; IT6 = 10 i, IT7 = 16 i, IT8 = 25 i, rounded by the standard (formula from memory).
  test.each(ISO_FITS.ranges)('from $over to $upTo mm have the grades of the formula', (range) => {
    const d = Math.sqrt(range.over * range.upTo);
    const i = 0.45 * Math.cbrt(d) + 0.001 * d;
    const grade = ({ lowUm, highUm }: { lowUm: number; highUm: number }) => highUm - lowUm;
    expect(Math.abs(grade(range.limits.H7) - 16 * i)).toBeLessThan(1);
    expect(Math.abs(grade(range.limits.H8) - 25 * i)).toBeLessThan(1);
    expect(Math.abs(grade(range.limits.s6) - 10 * i)).toBeLessThan(1);
  });

  test('press a bush into its hole whatever sizes come together', () => {
    for (const nominal of [4, 6, 8, 10, 11, 14, 16, 18, 20]) {
      const outside = fitLimits(nominal, 's6');
      const hole = fitLimits(nominal, 'H7');
      expect((outside?.lowUm ?? 0) - (hole?.highUm ?? 0)).toBeGreaterThan(0);
    }
  });

  test('are not made up outside the table', () => {
    for (const fit of FIT_CLASSES) {
      expect(fitLimits(3, fit)).toBeNull();
      expect(fitLimits(31, fit)).toBeNull();
    }
  });
});
