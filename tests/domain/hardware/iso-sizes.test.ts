import { describe, expect, test } from 'vitest';
import {
  CLEARANCE_HOLES,
  HEXAGONS,
  NOMINAL_MM,
  PLAIN_WASHERS,
  THREADS,
} from '../../../src/domain/hardware/iso-sizes.ts';

describe('the tables', () => {
  test('hold the clearance holes of ISO 273 (published, secondary copy)', () => {
    const rows = THREADS.map((thread) => Object.values(CLEARANCE_HOLES.rows[thread]));
    expect(rows).toEqual([
      [5.3, 5.5, 5.8],
      [6.4, 6.6, 7.0],
      [8.4, 9.0, 10.0],
      [10.5, 11.0, 12.0],
      [13.0, 13.5, 14.5],
    ]);
  });

  test('hold the washers of ISO 7089 (published, secondary copy)', () => {
    const rows = THREADS.map((thread) => Object.values(PLAIN_WASHERS.rows[thread]));
    expect(rows).toEqual([
      [5.3, 10, 1.0],
      [6.4, 12, 1.6],
      [8.4, 16, 1.6],
      [10.5, 20, 2.0],
      [13.0, 24, 2.5],
    ]);
  });

  test('a washer fits the fine hole of its thread, and every hole the pin', () => {
    for (const thread of THREADS) {
      const { fine, medium, coarse } = CLEARANCE_HOLES.rows[thread];
      expect(PLAIN_WASHERS.rows[thread].inside).toBe(fine);
      expect(NOMINAL_MM[thread]).toBeLessThan(fine);
      expect(fine).toBeLessThan(medium);
      expect(medium).toBeLessThan(coarse);
    }
  });

  // ISO 4014, 4017, 4032 and older tables (published, secondary copy): the 13 mm bolt of a frame
  // is M8, the 10 mm nuts of a rear window frame are M6.
  test.each([
    [8, ['M5']],
    [10, ['M6']],
    [13, ['M8']],
    [16, ['M10']],
    [17, ['M10']],
    [18, ['M12']],
    [19, ['M12']],
    [14, []],
  ])('a spanner of %d mm turns %j', (spanner, threads) => {
    const turned = THREADS.filter((thread) => {
      const { acrossFlats, olderAcrossFlats } = HEXAGONS.rows[thread];
      return [acrossFlats, olderAcrossFlats].includes(spanner);
    });
    expect(turned).toEqual(threads);
    expect(HEXAGONS.unit).toBe('mm');
  });
});
