import { expect, it } from 'vitest';
import { below } from '../../../src/domain/statistics/wear-rate.ts';
import { jStat } from '../life/jstat.ts';

it('the normal chances are those of a reference package', () => {
  for (const z of [-6, -3, -1.5, -0.2, 0, 0.7, 1.96, 4]) {
    expect(below(z)).toBeCloseTo(jStat.normal.cdf(z, 0, 1), 6);
  }
});
