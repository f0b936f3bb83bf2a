import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addDays } from '../../src/domain/calendar/day.ts';
import { localeOf } from '../../src/views/words/locale.ts';
import { readTime } from '../../src/views/words/written-day.ts';

const TAGS = ['en-GB', 'en-US', 'en-IE', 'en-AU', 'en-CA', 'de', 'de-AT', 'de-CH'] as const;
const someDay = fc.integer({ min: 0, max: 109_000 }).map((n) => addDays('1900-01-01', n));
const someTime = fc
  .tuple(fc.integer({ min: 0, max: 23 }), fc.integer({ min: 0, max: 59 }))
  .map((parts) => parts.map((n) => String(n).padStart(2, '0')).join(':'));

describe('days as people write them', () => {
  it.each(TAGS)('are read back as they are written, each way that %s has', (tag) => {
    const locale = localeOf(tag);
    const { read, write, writeOther } = locale.fields();
    fc.assert(
      fc.property(someDay, (day) => {
        const ways = [day, write(day), writeOther(day), locale.day(day)];
        expect(ways.map(read)).toEqual(ways.map(() => day));
        expect(ways.map((way) => read(` ${way.toUpperCase()} `))).toEqual(ways.map(() => day));
      }),
    );
  });

  it.each(TAGS)('are read with their time, as %s writes both', (tag) => {
    const locale = localeOf(tag);
    const { readMoment, write } = locale.fields();
    fc.assert(
      fc.property(someDay, someTime, (day, time) => {
        const meant = { day, time };
        const today = '2026-11-30';
        for (const way of [`${write(day)} ${time}`, `${day}T${time}`, `${day} ${time}`]) {
          expect(readMoment(way, today)).toEqual(meant);
        }
        const told = locale.instant(`${day}T${time}:00.000Z`, 'UTC');
        // Clocks of twelve hours among them.
        expect(readMoment(told, today)).toEqual(meant);
      }),
    );
  });

  it.each([
    ['en-GB', '3/4/2026', '2026-04-03'],
    ['en-US', '3/4/2026', '2026-03-04'],
    ['en-GB', '3-4-26', '2026-04-03'],
    ['en-GB', 'Mon 5th Oct 1998', '1998-10-05'],
    ['en-GB', '5 sept. 98', '1998-09-05'],
    ['en-US', 'October 5, 2026', '2026-10-05'],
    ['de', '05.10.26', '2026-10-05'],
    ['de', '5. 10. 2026', '2026-10-05'],
    ['de', 'Mo., 5. Oktober 2026', '2026-10-05'],
    ['de', '1. März 2026', '2026-03-01'],
    ['de-AT', '5. Jänner 2026', '2026-01-05'],
    ['de-AT', '5. Januar 2026', '2026-01-05'],
    ['de', '5 Oct 2026', '2026-10-05'],
  ])('in %s means %s', (tag, text, day) => {
    expect(localeOf(tag).fields().read(text)).toBe(day);
  });

  it.each([
    ['en-GB', '10/25/2026'],
    ['en-US', '25/10/2026'],
    ['de', '10/25/2026'],
    ['en-CA', '3/4/2026'],
    ['en-GB', '5 Oct'],
    ['de', '5.10.'],
    ['de', '31.2.2026'],
    ['en-GB', '5 Ju 2026'],
    ['en-GB', 'Oct Nov 2026'],
    ['en-GB', 'Monday'],
    ['en-GB', '5/10/226'],
    ['en-GB', '1899-12-31'],
    ['en-GB', 'next week'],
    ['de', ''],
  ])('in %s “%s” is none, rather than a guess', (tag, text) => {
    expect(localeOf(tag).fields().read(text)).toBeNull();
  });

  it('throw nothing, whatever is typed', () => {
    const { read, readMoment } = localeOf('de').fields();
    fc.assert(
      fc.property(fc.string(), (text) => {
        expect([null, 'string']).toContain(read(text) === null ? null : typeof read(text));
        readMoment(text, '2026-11-30');
      }),
    );
  });
});

describe('a moment', () => {
  it.each([
    ['en-GB', '18:30', '2026-11-30', '18:30'],
    ['en-GB', 'yesterday 9 pm', '2026-11-29', '21:00'],
    ['en-GB', 'today at 8.15', '2026-11-30', '08:15'],
    ['de', 'gestern 18 Uhr', '2026-11-29', '18:00'],
    ['de', 'vorgestern, 7:05', '2026-11-28', '07:05'],
    ['de', '28.11.2026 um 18 Uhr 30', '2026-11-28', '18:30'],
  ])('in %s may be said as “%s”', (tag, text, day, time) => {
    expect(localeOf(tag).fields().readMoment(text, '2026-11-30')).toEqual({ day, time });
  });

  it.each(['25 Oct 2026', 'tomorrow 9:00', '25:00', 'yesterday', '2026-02-30T09:00', ''])(
    'is not “%s”',
    (text) => {
      expect(localeOf('en-GB').fields().readMoment(text, '2026-11-30')).toBeNull();
    },
  );
});

describe('a time of day', () => {
  it.each([
    ['9', '09:00'],
    ['930', '09:30'],
    ['0930', '09:30'],
    ['9.30', '09:30'],
    ['12 am', '00:00'],
    ['12:15 p.m.', '12:15'],
    ['18 Uhr', '18:00'],
  ])('“%s” is %s', (text, time) => {
    expect(readTime(text)).toBe(time);
  });

  it.each(['24:00', '13 pm', '0 am', '9:75', '2360', 'noon', '9:3', ''])('“%s” is none', (text) => {
    expect(readTime(text)).toBeNull();
  });
});
