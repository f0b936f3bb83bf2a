import * as fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, it } from 'vitest';
import { localeOf } from '../../../src/views/words/locale.ts';
import { plainSpaces } from './reading.ts';

const english = localeOf('en-GB');

describe('a day in words', () => {
  it('has the weekday and date that Temporal gives it', () => {
    const days = fc.date({
      min: new Date('1970-01-01T00:00:00Z'),
      max: new Date('2199-12-31T00:00:00Z'),
      noInvalidDate: true,
    });
    fc.assert(
      fc.property(days, (date) => {
        const day = Temporal.PlainDate.from(date.toISOString().slice(0, 10));
        const weekdays = ['Mon', 'Tues', 'Wednes', 'Thurs', 'Fri', 'Satur', 'Sun'];
        const words = english.day(day.toString());
        expect(words).toMatch(new RegExp(`^${weekdays[day.dayOfWeek - 1]}day,? ${day.day} `));
        expect(words).toMatch(new RegExp(` ${day.year}$`));
      }),
    );
  });

  it('never moves with the clock of the machine', () => {
    expect(plainSpaces(english.day('2027-01-01'))).toBe('Friday 1 January 2027');
  });
});

describe('an instant in words', () => {
  it('is read on the clock of its zone, across the change to summer time', () => {
    // Central Europe: clocks go forward on 28 March 2027 at 01:00 UTC (EU Directive 2000/84/EC).
    expect(english.instant('2027-03-28T00:30:00Z', 'Europe/Berlin')).toMatch(/28 March.* 01:30$/);
    expect(english.instant('2027-03-28T01:30:00Z', 'Europe/Berlin')).toMatch(/28 March.* 03:30$/);
    expect(english.instant('2027-03-28T22:30:00Z', 'Europe/Berlin')).toMatch(/29 March.* 00:30$/);
  });
});

describe('a week in words', () => {
  it('runs from the Monday to the Sunday of the ISO week', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1971, max: 2199 }),
        fc.integer({ min: 0, max: 365 }),
        (year, n) => {
          const day = Temporal.PlainDate.from({ year, month: 1, day: 1 }).add({ days: n });
          const id = `${day.yearOfWeek}-W${String(day.weekOfYear).padStart(2, '0')}`;
          const monday = day.subtract({ days: day.dayOfWeek - 1 });
          const words = plainSpaces(english.week(id));
          expect(words).toMatch(new RegExp(`^${monday.day}\\b`));
          expect(words).toMatch(new RegExp(`\\b${monday.add({ days: 6 }).day} \\w+ \\d{4}$`));
        },
      ),
    );
  });

  it('crosses months and years', () => {
    expect(plainSpaces(english.week('2026-W53'))).toBe('28 December 2026–3 January 2027');
    expect(plainSpaces(localeOf('de').week('2027-W10'))).toBe('8.–14. März 2027');
  });
});
