import * as fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, it } from 'vitest';
import {
  addDays,
  isoWeekOf,
  mondayOfIsoWeek,
  weekdayOf,
} from '../../../src/domain/calendar/day.ts';
import { anyDay } from './arbitrary-day.ts';

describe('ISO weeks', () => {
  // ISO 8601 week dates (computed).
  it.each([
    ['2024-12-30', '2025-W01', 1],
    ['2020-12-31', '2020-W53', 4],
    ['2021-01-03', '2020-W53', 7],
    ['2026-01-01', '2026-W01', 4],
    ['2026-12-31', '2026-W53', 4],
    ['2027-01-03', '2026-W53', 7],
    ['2027-01-04', '2027-W01', 1],
  ])('%s is %s day %i', (day, id, weekday) => {
    expect(isoWeekOf(day)).toEqual({ year: +id.slice(0, 4), week: +id.slice(6), id });
    expect(weekdayOf(day)).toBe(weekday);
    expect(mondayOfIsoWeek(id)).toBe(addDays(day, 1 - weekday));
  });

  // RFC 5545 section 3.8.5.3 (published): every second week with WKST=MO.
  it('begin on Monday: every second week has these Tuesdays and Sundays of August 1997', () => {
    const days = Array.from({ length: 27 }, (_, n) => addDays('1997-08-05', n));
    const first = isoWeekOf('1997-08-05').week;
    const hits = days.filter(
      (day) => (isoWeekOf(day).week - first) % 2 === 0 && [2, 7].includes(weekdayOf(day)),
    );
    expect(hits.slice(0, 4)).toEqual(['1997-08-05', '1997-08-10', '1997-08-19', '1997-08-24']);
  });

  it('equal Temporal for any day, there and back', () => {
    fc.assert(
      fc.property(anyDay, (day) => {
        const plain = Temporal.PlainDate.from(day);
        const { year, week, id } = isoWeekOf(day);
        expect([year, week]).toEqual([plain.yearOfWeek, plain.weekOfYear]);
        expect(mondayOfIsoWeek(id)).toBe(addDays(day, 1 - plain.dayOfWeek));
      }),
    );
  });

  it.each(['2025-W53', '2026-W54', '2026-W00', '2026-W1', '2026W01', '2026-01-01', ''])(
    'refuses %j',
    (id) => {
      expect(() => mondayOfIsoWeek(id)).toThrow(RangeError);
    },
  );
});
