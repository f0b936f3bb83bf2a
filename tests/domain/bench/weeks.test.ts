import { describe, expect, test } from 'vitest';
import { BENCH_FIGURES } from '../../../src/domain/bench/bench-figures.ts';
import { openWeeks } from '../../../src/domain/bench/weeks.ts';
import type { Opening } from '../../../src/domain/bench/working-days.ts';
import type { OpenWeek } from '../../../src/domain/bench/weeks.ts';
import { valuesOf } from '../../../src/domain/figures/figure.ts';

const MONDAY_TO_FRIDAY: Opening = { weekdays: [1, 2, 3, 4, 5], closures: [] };

function weeksFrom(from: string, count: number, opening = MONDAY_TO_FRIDAY): readonly OpenWeek[] {
  const answer = openWeeks(from, count, opening);
  if ('refused' in answer) throw new Error(answer.sentence);
  return answer.weeks;
}

describe('weeks of the bench', () => {
  test('a week in March: 5 days of 480 min less 5 % (shop rules)', () => {
    expect(weeksFrom('2026-03-09', 1)).toEqual([
      {
        id: '2026-W11',
        monday: '2026-03-09',
        openDays: ['2026-03-09', '2026-03-10', '2026-03-11', '2026-03-12', '2026-03-13'],
        minutes: 2280,
        capacity: 76,
      },
    ]);
  });

  test('from May to August 15 % is kept free, by the month of each day', () => {
    // Monday 27 to Thursday 30 April 2026, and Friday 1 May: 4 × 456 + 408.
    const [turn, may] = weeksFrom('2026-04-27', 2);
    expect(turn).toMatchObject({ minutes: 2232, capacity: 74 });
    expect(may).toMatchObject({ minutes: 2040, capacity: 68 });
    const [august] = weeksFrom('2026-08-31', 1);
    expect(august).toMatchObject({ minutes: 408 + 4 * 456 });
  });

  test('weeks are those of ISO 8601, over the 53rd as well', () => {
    const ids = weeksFrom('2026-12-23', 4).map((week) => week.id);
    expect(ids).toEqual(['2026-W52', '2026-W53', '2027-W01', '2027-W02']);
  });

  test('days before the first and days of a closure are shut', () => {
    const closures = [{ from: '2026-03-13', to: '2026-03-17' }];
    const weeks = weeksFrom('2026-03-11', 2, { ...MONDAY_TO_FRIDAY, closures });
    expect(weeks.map((week) => week.openDays)).toEqual([
      ['2026-03-11', '2026-03-12'],
      ['2026-03-18', '2026-03-19', '2026-03-20'],
    ]);
  });

  test('an organisation sets its own minutes and slack', () => {
    const own = valuesOf(BENCH_FIGURES, { minutesPerDay: 400, slackElsePct: 0 });
    expect(openWeeks('2026-03-09', 1, { weekdays: [3], closures: [] }, own)).toMatchObject({
      weeks: [{ minutes: 400, capacity: 13 }],
    });
  });

  test('a calendar without an open day says so', () => {
    const sentence = 'No open day from 2026-03-11 to 2026-03-22: check opening days and closures.';
    const shut = { refused: 'no-open-day', sentence };
    expect(openWeeks('2026-03-11', 2, { weekdays: [], closures: [] })).toEqual(shut);
    const closures = [{ from: '2026-01-01', to: '2026-12-31' }];
    expect(openWeeks('2026-03-11', 2, { ...MONDAY_TO_FRIDAY, closures })).toEqual(shut);
  });

  test.each([
    ['2026-02-29', 1, MONDAY_TO_FRIDAY],
    ['2026-03-09', 0, MONDAY_TO_FRIDAY],
    ['2026-03-09', 521, MONDAY_TO_FRIDAY],
    ['2026-03-09', 1, { weekdays: [0], closures: [] }],
    ['2026-03-09', 1, { weekdays: [1], closures: [{ from: '2026-03-10', to: '2026-03-09' }] }],
  ])('from %s, %i weeks, %o: refused', (from, count, opening) => {
    expect(() => openWeeks(from, count, opening)).toThrow(RangeError);
  });
});
