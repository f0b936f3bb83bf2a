import { describe, expect, it } from 'vitest';
import { sideWashers } from '../../../src/domain/pivots/washers.ts';

function count(code: string, washersPresent: number | null) {
  return { code, washersPresent, washersExpected: 2 };
}

// One missing: plan; two or more on one side: act (shop rule).
describe('washers of a side', () => {
  it('is good where none is known to be missing', () => {
    const sides = sideWashers([count('L-MAIN', 2), count('L-LINK1', null)]);
    expect(sides.L).toMatchObject({ missing: 0, verdict: 'good', at: [] });
    expect(sides.R).toMatchObject({ missing: 0, verdict: 'good', at: [] });
  });

  it('adds up the joints of one side and not of the other', () => {
    const sides = sideWashers([count('L-MAIN', 1), count('L-LINK1', 1), count('R-MAIN', 1)]);
    expect(sides.L).toMatchObject({ missing: 2, verdict: 'act', at: ['L-MAIN', 'L-LINK1'] });
    expect(sides.L.because).toBe('2 washers missing: left main, left link 1');
    expect(sides.R).toMatchObject({ missing: 1, verdict: 'plan', at: ['R-MAIN'] });
    expect(sides.R.because).toBe('1 washer missing: right main');
  });

  it('counts both of one joint', () => {
    expect(sideWashers([count('R-MAIN', 0)]).R).toMatchObject({ missing: 2, verdict: 'act' });
  });
});
