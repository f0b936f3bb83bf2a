import { describe, expect, it } from 'vitest';
import { ObservedLives } from '../../src/domain/life/washer-life.ts';
import type { PivotRecord } from '../../src/domain/pivots/series.ts';
import type { FrameOfCar } from '../../src/usecases/tops/washer-histories.ts';
import {
  chanceOfFindingLoss,
  chanceOfLoss,
  ownLives,
  washersOfPivot,
} from '../../src/usecases/tops/washer-histories.ts';
import { figuresFor } from '../../src/domain/figure-tables/figure-tables.ts';

const FRAME: FrameOfCar = {
  framePattern: 'four-seat-manual',
  place: 'outdoors',
  salt: 'by-sea',
  use: 'all-year',
};

function pivot(washers: PivotRecord['washers'], repairs: string[] = []) {
  return {
    id: 'p',
    carId: 'c',
    since: '2020-01-01',
    retiredOn: null,
    oiledOn: [],
    record: {
      code: 'L-MAIN',
      kind: 'main' as const,
      washersExpected: 2,
      readings: [],
      states: [],
      washers,
      repairs,
    },
  };
}

describe('the washers of a pivot', () => {
  it('are those fitted with it until a look or a repair says otherwise', () => {
    const { records, inPlace } = washersOfPivot(pivot([]), FRAME);
    const fitted = { since: '2020-01-01', seenOn: '2020-01-01' };
    expect(inPlace).toEqual([fitted, fitted]);
    expect(records).toHaveLength(2);
    expect(records[0]).toMatchObject({ exposureClass: 'C5', fittedOn: '2020-01-01' });
  });

  it('are lost on the day on which they were missed', () => {
    const looks = [
      { doneOn: '2021-01-01', present: 2 },
      { doneOn: '2022-01-01', present: 1 },
    ];
    const { records, inPlace } = washersOfPivot(pivot(looks), FRAME);
    expect(records).toMatchObject([
      { missingOn: '2022-01-01', lastSeenOn: '2021-01-01' },
      { lastSeenOn: '2022-01-01' },
    ]);
    expect(inPlace).toEqual([{ since: '2020-01-01', seenOn: '2022-01-01' }]);
  });

  it('are new after a repair; what nobody counted before it has no known end', () => {
    const looks = [{ doneOn: '2021-01-01', present: 2 }];
    const { records, inPlace } = washersOfPivot(pivot(looks, ['2022-01-01']), FRAME);
    const renewed = { since: '2022-01-01', seenOn: '2022-01-01' };
    expect(inPlace).toEqual([renewed, renewed]);
    expect(records).toHaveLength(4);
    expect(records.slice(0, 2)).toEqual([
      expect.objectContaining({ fittedOn: '2020-01-01', lastSeenOn: '2021-01-01' }),
      expect.objectContaining({ fittedOn: '2020-01-01', lastSeenOn: '2021-01-01' }),
    ]);
    expect(records.every(({ missingOn }) => missingOn === undefined)).toBe(true);
  });

  it('counted short on the day of their repair are lost then, and new from then on', () => {
    const looks = [{ doneOn: '2022-01-01', present: 0 }];
    const { records, inPlace } = washersOfPivot(pivot(looks, ['2022-01-01']), FRAME);
    expect(records.filter(({ missingOn }) => missingOn === '2022-01-01')).toHaveLength(2);
    const renewed = { since: '2022-01-01', seenOn: '2022-01-01' };
    expect(inPlace).toEqual([renewed, renewed]);
  });
});

describe('the chance that a washer is lost', () => {
  const fit = { shape: 1, scale: 1000, logLikelihood: 0, events: 9, n: 9, clusters: 1 };
  const unsure = { shapeLow: null, shapeHigh: null, scaleLow: null, scaleHigh: null };
  const lives = new Map([['C5', { ...fit, ...unsure, covariance: null }]]);
  const old = { since: '2020-01-01', seenOn: '2026-03-10' };
  const newer = { since: '2025-01-01', seenOn: '2026-05-10' };

  it('is that of the exponential law where the shape is 1, whatever the age (any textbook)', () => {
    const one = chanceOfLoss([old], FRAME, lives, '2026-06-08', '2026-08-03');
    expect(one).toBeCloseTo(1 - Math.exp(-56 / 1000), 12);
    const two = chanceOfLoss([old, newer], FRAME, lives, '2026-06-08', '2026-08-03');
    expect(two).toBeCloseTo(1 - Math.exp(-112 / 1000), 12);
  });

  it('of being found gone counts from the look that last saw it, not from today', () => {
    // 90 days since that look by 8 June, and 146 by 3 August.
    const found = chanceOfFindingLoss([old], FRAME, lives, '2026-08-03');
    expect(found).toBeCloseTo(1 - Math.exp(-146 / 1000), 12);
  });

  it('is not known where the own records of that exposure are too few', () => {
    const inland = { ...FRAME, salt: 'none' as const };
    expect(chanceOfLoss([old], inland, lives, '2026-06-08', '2026-08-03')).toBeNull();
    const { records } = washersOfPivot(pivot([{ doneOn: '2022-01-01', present: 0 }]), FRAME);
    expect(ownLives(new ObservedLives('exposure', records), figuresFor('life')).size).toBe(0);
  });

  it('is known from five lost washers on', () => {
    const records = [1, 2, 3].flatMap((year) => {
      const looks = [
        { doneOn: `202${year - 1}-0${year}-02`, present: 2 },
        { doneOn: `202${year}-0${year}-01`, present: 0 },
      ];
      return washersOfPivot(pivot(looks), FRAME).records;
    });
    expect([
      ...ownLives(new ObservedLives('exposure', records), figuresFor('life')).keys(),
    ]).toEqual(['C5']);
  });
});
