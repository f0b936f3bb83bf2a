import { describe, expect, it } from 'vitest';
import { pivotRowProblems } from '../../../src/domain/pivots/reading-problems.ts';

const PIVOTS = [
  { code: 'L-MAIN', washersExpected: 2 },
  { code: 'L-LATCH', washersExpected: 0 },
];

function fieldsOf(...rows: Parameters<typeof pivotRowProblems>[0]): string[] {
  return pivotRowProblems(rows, PIVOTS).map(({ field }) => field);
}

describe('problems of the rows of a visit', () => {
  it('takes sound rows', () => {
    const full = { state: 'dry', washersPresent: 2, axialPlayMm: 0, radialPlayMm: 0.3 };
    expect(fieldsOf({ pivot: 'L-MAIN', ...full }, { pivot: 'L-LATCH' })).toEqual([]);
  });

  it.each([
    [{ pivot: 'L-LINK1' }, 'pivot'],
    [{ pivot: 'L-MAIN', state: 'rusty' }, 'state'],
    [{ pivot: 'L-MAIN', washersPresent: 3 }, 'washersPresent'],
    [{ pivot: 'L-LATCH', washersPresent: 1 }, 'washersPresent'],
    [{ pivot: 'L-MAIN', washersPresent: -1 }, 'washersPresent'],
    [{ pivot: 'L-MAIN', washersPresent: 0.5 }, 'washersPresent'],
    [{ pivot: 'L-MAIN', axialPlayMm: NaN }, 'axialPlayMm'],
    [{ pivot: 'L-MAIN', radialPlayMm: -0.1 }, 'radialPlayMm'],
    [{ pivot: 'L-MAIN', radialPlayMm: 25 }, 'radialPlayMm'],
  ])('names the field of %o', (row, field) => {
    expect(fieldsOf(row)).toEqual([`readings.0.${field}`]);
  });

  it('names the second row of one pivot', () => {
    expect(fieldsOf({ pivot: 'L-MAIN' }, { pivot: 'L-MAIN' })).toEqual(['readings.1.pivot']);
  });
});
