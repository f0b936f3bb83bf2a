import { describe, expect, it } from 'vitest';
import type { PivotRecord } from '../../src/domain/pivots/series.ts';
import type { FrameOfCar } from '../../src/usecases/tops/washer-histories.ts';
import {
  chanceOfLoss,
  ownLives,
  washersOfPivot,
} from '../../src/usecases/tops/washer-histories.ts';
import { figuresFor } from '../../src/domain/figure-tables/figure-tables.ts';

const FRAME: FrameOfCar = { framePattern: 'four-seat-manual', place: 'outdoors', salt: 'by-sea' };

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
    const { records, inPlaceSince } = washersOfPivot(pivot([]), FRAME);
    expect(inPlaceSince).toEqual(['2020-01-01', '2020-01-01']);
    expect(records).toHaveLength(2);
    expect(records[0]).toMatchObject({ exposureClass: 'C5', fittedOn: '2020-01-01' });
  });

  it('are lost on the day on which they were missed', () => {
    const looks = [
      { doneOn: '2021-01-01', present: 2 },
      { doneOn: '2022-01-01', present: 1 },
    ];
    const { records, inPlaceSince } = washersOfPivot(pivot(looks), FRAME);
    expect(records).toMatchObject([
      { missingOn: '2022-01-01', lastSeenOn: '2021-01-01' },
      { lastSeenOn: '2022-01-01' },
    ]);
    expect(inPlaceSince).toEqual(['2020-01-01']);
  });

  it('are new after a repair; what nobody counted before it has no known end', () => {
    const looks = [{ doneOn: '2021-01-01', present: 2 }];
    const { records, inPlaceSince } = washersOfPivot(pivot(looks, ['2022-01-01']), FRAME);
    expect(inPlaceSince).toEqual(['2022-01-01', '2022-01-01']);
    expect(records).toHaveLength(4);
    expect(records.slice(0, 2)).toEqual([
      expect.objectContaining({ fittedOn: '2020-01-01', lastSeenOn: '2021-01-01' }),
      expect.objectContaining({ fittedOn: '2020-01-01', lastSeenOn: '2021-01-01' }),
    ]);
    expect(records.every(({ missingOn }) => missingOn === undefined)).toBe(true);
  });

  it('counted short on the day of their repair are lost then, and new from then on', () => {
    const looks = [{ doneOn: '2022-01-01', present: 0 }];
    const { records, inPlaceSince } = washersOfPivot(pivot(looks, ['2022-01-01']), FRAME);
    expect(records.filter(({ missingOn }) => missingOn === '2022-01-01')).toHaveLength(2);
    expect(inPlaceSince).toEqual(['2022-01-01', '2022-01-01']);
  });
});

describe('the chance that a washer is lost', () => {
  const life = { shape: 1, scale: 1000, logLikelihood: 0, events: 9, n: 9 };
  const lives = new Map([['C5', { ...life, shapeLow: 0.5, shapeHigh: 2 }]]);

  it('is that of the exponential law where the shape is 1, whatever the age (any textbook)', () => {
    const one = chanceOfLoss(['2020-01-01'], FRAME, lives, '2026-06-08', '2026-08-03');
    expect(one).toBeCloseTo(1 - Math.exp(-56 / 1000), 12);
    const two = chanceOfLoss(
      ['2020-01-01', '2025-01-01'],
      FRAME,
      lives,
      '2026-06-08',
      '2026-08-03',
    );
    expect(two).toBeCloseTo(1 - Math.exp(-112 / 1000), 12);
  });

  it('is not known where the own records of that exposure are too few', () => {
    const inland = { ...FRAME, salt: 'none' as const };
    expect(chanceOfLoss(['2020-01-01'], inland, lives, '2026-06-08', '2026-08-03')).toBeNull();
    const { records } = washersOfPivot(pivot([{ doneOn: '2022-01-01', present: 0 }]), FRAME);
    expect(ownLives(records, figuresFor('life')).size).toBe(0);
  });

  it('is known from five lost washers on', () => {
    const records = [1, 2, 3].flatMap((year) => {
      const looks = [{ doneOn: `202${year}-0${year}-01`, present: 0 }];
      return washersOfPivot(pivot(looks), FRAME).records;
    });
    expect([...ownLives(records, figuresFor('life')).keys()]).toEqual(['C5']);
  });
});
