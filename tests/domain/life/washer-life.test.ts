import { describe, expect, test } from 'vitest';
import { intervalFit } from '../../../src/domain/life/interval-life.ts';
import { compareLives } from '../../../src/domain/life/compare-lives.ts';
import { ObservedLives, washerLife } from '../../../src/domain/life/washer-life.ts';
import { washerRecords } from '../../../src/domain/life/washer-records.ts';
import type { WasherRecord } from '../../../src/domain/life/washer-records.ts';
import { turnbull } from '../../../src/domain/statistics/turnbull.ts';
import { PLACEBO, SIX_MP } from './leukaemia.ts';

const about = { carId: 'a-car', framePattern: 'four-seat', exposureClass: 'C3' };
const pivot = { ...about, fittedOn: '2020-03-01', washersExpected: 2 };

describe('the lives of the washers of one pivot', () => {
  test('a fallen count is a washer found missing, the other lives on', () => {
    const looks = [
      { on: '2022-03-01', washersPresent: 1 },
      { on: '2021-03-01', washersPresent: 2 },
    ];
    expect(washerRecords({ ...pivot, looks })).toEqual([
      { ...about, fittedOn: '2020-03-01', lastSeenOn: '2021-03-01', missingOn: '2022-03-01' },
      { ...about, fittedOn: '2020-03-01', lastSeenOn: '2022-03-01' },
    ]);
  });

  test('a renewal ends the sound ones unfailed and starts a full set', () => {
    const looks = [
      { on: '2022-03-01', washersPresent: 1, renewed: true },
      { on: '2023-03-01', washersPresent: 2 },
    ];
    expect(washerRecords({ ...pivot, looks })).toEqual([
      { ...about, fittedOn: '2020-03-01', missingOn: '2022-03-01' },
      { ...about, fittedOn: '2020-03-01', lastSeenOn: '2022-03-01' },
      { ...about, fittedOn: '2022-03-01', lastSeenOn: '2023-03-01' },
      { ...about, fittedOn: '2022-03-01', lastSeenOn: '2023-03-01' },
    ]);
  });

  test('a risen count with no renewal on record starts a new washer that day', () => {
    const looks = [
      { on: '2021-03-01', washersPresent: 1 },
      { on: '2022-03-01', washersPresent: 2 },
    ];
    expect(washerRecords({ ...pivot, looks })).toEqual([
      { ...about, fittedOn: '2020-03-01', missingOn: '2021-03-01' },
      { ...about, fittedOn: '2020-03-01', lastSeenOn: '2022-03-01' },
      { ...about, fittedOn: '2022-03-01' },
    ]);
  });

  test.each([3, -1, 0.5, Number.NaN])('%d washers of two are refused', (washersPresent) => {
    const looks = [{ on: '2021-03-01', washersPresent }];
    expect(() => washerRecords({ ...pivot, looks })).toThrow(/washersPresent on 2021-03-01/);
  });

  test('a look before the fitting is refused', () => {
    const looks = [{ on: '2020-02-29', washersPresent: 2 }];
    expect(() => washerRecords({ ...pivot, looks })).toThrow(/before/);
  });
});

/** The published remission times as washers, a week as a day, so that known answers come back. */
function asWashers(lives: typeof SIX_MP, framePattern: string, exposureClass: string) {
  return lives.map(({ time, event }, i): WasherRecord => {
    const day = new Date(Date.UTC(2020, 0, 1 + time)).toISOString().slice(0, 10);
    const end = event ? { missingOn: day } : { lastSeenOn: day };
    return { carId: `${i}`, framePattern, exposureClass, fittedOn: '2020-01-01', ...end };
  });
}

test('a day that does not exist is refused', () => {
  const looks = [{ on: '2021-02-30', washersPresent: 2 }];
  expect(() => washerRecords({ ...pivot, looks })).toThrow(/2021-02-30 is no day/);
  const record = { ...about, fittedOn: '2020-01-01', lastSeenOn: '2021-02-30' };
  expect(() => washerLife(new ObservedLives('pattern', [record]))).toThrow(/2021-02-30 is no day/);
});

describe('washer life by group', () => {
  const records = [
    ...asWashers(PLACEBO, 'two-seat', 'C4'),
    ...asWashers(SIX_MP, 'four-seat', 'C4'),
  ];

  test('gives each pattern the curve of its own washers and compares the two', () => {
    const lives = (group: typeof SIX_MP) =>
      group.map(({ time, event }, i) => ({
        after: event ? 0 : time,
        by: event ? time : null,
        cluster: `${i}`,
      }));
    const sixMp = lives(SIX_MP);
    const life = washerLife(new ObservedLives('pattern', records));
    expect(life.groups.map(({ group }) => group)).toEqual(['four-seat', 'two-seat']);
    expect(life.groups[0]).toMatchObject({ washers: 21, failures: 9 });
    expect(life.groups[0]?.steps).toEqual(turnbull(sixMp).steps);
    expect(life.groups[0]?.weibull).toEqual(intervalFit(sixMp));
    expect(life.comparison).toEqual(compareLives(sixMp, lives(PLACEBO)));
    expect(life.note).toContain('found at a visit');
  });

  test('by exposure class they are one group, with nothing to compare', () => {
    const life = washerLife(new ObservedLives('exposure', records));
    expect(life.groups).toHaveLength(1);
    expect(life.groups[0]).toMatchObject({ group: 'C4', washers: 42, failures: 30 });
    expect(life.comparison).toBeNull();
  });
});

test('says how wide the doubt about a loss is', () => {
  const records: WasherRecord[] = [
    { ...about, fittedOn: '2020-01-01', lastSeenOn: '2020-12-31', missingOn: '2021-12-31' },
    { ...about, fittedOn: '2020-01-01', missingOn: '2020-01-11' },
  ];
  expect(washerLife(new ObservedLives('pattern', records)).groups[0]).toMatchObject({
    failures: 2,
    gapDays: 187.5,
  });
});

test('sets aside what says nothing of wear, and counts it', () => {
  const records: WasherRecord[] = [
    { ...about, fittedOn: '2020-01-01' },
    { ...about, fittedOn: '2020-01-01', lastSeenOn: '2020-01-01' },
    { ...about, fittedOn: '2020-01-01', missingOn: '2020-01-01' },
  ];
  expect(washerLife(new ObservedLives('pattern', records)).groups[0]).toMatchObject({
    washers: 0,
    failures: 0,
    setAside: { neverSeen: 2, goneAtOnce: 1 },
    medianBetween: null,
    weibull: { events: 0 },
    gapDays: null,
  });
});

test('refuses days in an impossible order', () => {
  const seenAfter = { lastSeenOn: '2021-02-01', missingOn: '2021-01-01' };
  expect(() =>
    washerLife(new ObservedLives('pattern', [{ ...about, fittedOn: '2020-01-01', ...seenAfter }])),
  ).toThrow(/2021-02-01, not before 2021-01-01/);
  const before = { fittedOn: '2020-01-01', missingOn: '2019-12-31' };
  expect(() => washerLife(new ObservedLives('pattern', [{ ...about, ...before }]))).toThrow(
    /before/,
  );
});
