import * as fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, it } from 'vitest';
import { addHours, addMinutes, msOf, parseInstant } from '../../../src/domain/calendar/instant.ts';
import {
  dayIn,
  instantAt,
  isZone,
  nextWithinHours,
  plusCalendarDays,
} from '../../../src/domain/calendar/zone.ts';
import { anyDay, anyInstant, two } from './arbitrary-day.ts';
import { runs } from '../../setup/runs.ts';

const LONDON = 'Europe/London';
const NEW_YORK = 'America/New_York';
const LOS_ANGELES = 'America/Los_Angeles';

// Zones with half-hour and two-hour changes, changes at midnight, in Ramadan, a dropped day, none.
const anyZone = fc.constantFrom(
  LONDON,
  NEW_YORK,
  'Australia/Lord_Howe',
  'Antarctica/Troll',
  'America/Havana',
  'Africa/Casablanca',
  'Pacific/Apia',
  'Asia/Kathmandu',
  'UTC',
);

const utc = (text: string) => {
  const instant = parseInstant(text);
  if (instant === null) throw new Error(`Not an instant: ${text}`);
  return instant;
};

const zoned = (zone: string, instant: string) =>
  Temporal.Instant.from(instant).toZonedDateTimeISO(zone);

const written = (at: Temporal.ZonedDateTime) => new Date(at.epochMilliseconds).toISOString();

/** Instants within two days of a change of the clocks, and any others. */
const zoneAndInstant = fc.oneof(
  fc.tuple(anyZone, anyInstant),
  fc
    .tuple(anyZone, anyInstant, fc.integer({ min: -2880, max: 2880 }))
    .map(([zone, instant, minutes]): [string, string] => {
      const change = zoned(zone, instant).getTimeZoneTransition('next');
      return [zone, addMinutes(change ? written(change) : instant, minutes)];
    }),
);

describe('zones', () => {
  it.each([LONDON, NEW_YORK, 'UTC', 'Etc/GMT+1', 'America/Argentina/Buenos_Aires'])(
    '%s',
    (zone) => {
      expect(isZone(zone)).toBe(true);
    },
  );

  it.each([
    '+01:00',
    '-05:00',
    '+0100',
    'Europe/Nowhere',
    'BST+1',
    'PST',
    'JST',
    '',
    ' UTC',
    'Z',
    '[UTC]',
  ])('not %j', (name) => {
    expect(isZone(name)).toBe(false);
  });

  // tz database (published): days on which clocks change, 01:00Z in London, 07:00Z and 06:00Z in
  // New York.
  it.each([
    ['2025-03-30', '2025-10-26', '2025-03-09', '2025-11-02'],
    ['2026-03-29', '2026-10-25', '2026-03-08', '2026-11-01'],
    ['2027-03-28', '2027-10-31', '2027-03-14', '2027-11-07'],
    ['2028-03-26', '2028-10-29', '2028-03-12', '2028-11-05'],
  ])('change their clocks on %s, %s, %s, %s', (londonOn, londonOff, newYorkOn, newYorkOff) => {
    const at = (zone: string, day: string, time: string) =>
      instantAt(zone, day, time).slice(11, 16);
    expect(['00:59', '02:00'].map((time) => at(LONDON, londonOn, time))).toEqual([
      '00:59',
      '01:00',
    ]);
    expect(['01:59', '02:00'].map((time) => at(LONDON, londonOff, time))).toEqual([
      '00:59',
      '02:00',
    ]);
    expect(['01:59', '03:00'].map((time) => at(NEW_YORK, newYorkOn, time))).toEqual([
      '06:59',
      '07:00',
    ]);
    expect(['01:59', '02:00'].map((time) => at(NEW_YORK, newYorkOff, time))).toEqual([
      '05:59',
      '07:00',
    ]);
  });

  it('have the day that Temporal has', () => {
    fc.assert(
      fc.property(zoneAndInstant, ([zone, instant]) => {
        expect(dayIn(zone, instant)).toBe(zoned(zone, instant).toPlainDate().toString());
      }),
    );
  });
});

describe('times that come twice or never', () => {
  it.each([
    // RFC 5545 section 3.3.5, form 3 (published).
    [NEW_YORK, '2007-11-04', '01:30', '2007-11-04T01:30-04:00'],
    [NEW_YORK, '2007-03-11', '02:30', '2007-03-11T03:30-04:00'],
    // Temporal 'compatible' (computed).
    [LONDON, '2026-03-29', '01:30', '2026-03-29T02:30+01:00'],
    [LONDON, '2026-10-25', '01:30', '2026-10-25T01:30+01:00'],
    // Temporal documentation of disambiguation (published): later in the gap, earlier in the overlap.
    [LOS_ANGELES, '2020-03-08', '02:30', '2020-03-08T03:30-07:00'],
    [LOS_ANGELES, '2020-11-01', '01:30', '2020-11-01T01:30-07:00'],
  ])('%s %s %s', (zone, day, time, expected) => {
    expect(instantAt(zone, day, time)).toBe(utc(expected));
  });

  it('resolve as Temporal does, on any day', () => {
    const minutes = fc.integer({ min: 0, max: 1439 });
    fc.assert(
      fc.property(zoneAndInstant, minutes, ([zone, instant], inDay) => {
        const day = dayIn(zone, instant);
        const time = `${two(Math.floor(inDay / 60))}:${two(inDay % 60)}`;
        const expected = Temporal.PlainDateTime.from(`${day}T${time}`).toZonedDateTime(zone);
        expect(instantAt(zone, day, time)).toBe(written(expected));
      }),
      { numRuns: runs(500) },
    );
  });

  it.each(['24:00', '8:00', '08:60', '0800', ''])('refuses %j as a time of day', (time) => {
    expect(() => instantAt(LONDON, '2026-01-01', time)).toThrow(RangeError);
  });

  it('refuses an unknown zone', () => {
    expect(() => dayIn('Europe/Nowhere', '2026-01-01T00:00:00.000Z')).toThrow(RangeError);
  });
});

describe('calendar days later', () => {
  // Three days of standing folded across a change of the clocks (computed with
  // @js-temporal/polyfill).
  it.each([
    [LONDON, '2026-03-28T18:00+00:00', '2026-03-31T18:00+01:00', 71],
    [LONDON, '2026-10-24T18:00+01:00', '2026-10-27T18:00+00:00', 73],
    [NEW_YORK, '2026-03-07T18:00-05:00', '2026-03-10T18:00-04:00', 71],
    [NEW_YORK, '2026-10-31T18:00-04:00', '2026-11-03T18:00-05:00', 73],
  ])('%s from %s to %s are %i hours', (zone, from, to, hours) => {
    expect(plusCalendarDays(zone, utc(from), 3)).toBe(utc(to));
    expect(addHours(utc(from), hours)).toBe(utc(to));
  });

  it('are not 72 hours across a change (computed with @js-temporal/polyfill)', () => {
    expect(addHours(utc('2026-03-28T18:00Z'), 72)).toBe(instantAt(LONDON, '2026-03-31', '19:00'));
    expect(addHours(utc('2026-10-24T17:00Z'), 72)).toBe(instantAt(LONDON, '2026-10-27', '17:00'));
  });

  // Days of 23 and 25 hours (computed with @js-temporal/polyfill).
  it.each([
    [LONDON, '2026-03-29', 23],
    [LONDON, '2026-10-25', 25],
    [NEW_YORK, '2026-03-08', 23],
    [NEW_YORK, '2026-11-01', 25],
  ])('%s %s has %i hours', (zone, day, hours) => {
    const midnight = instantAt(zone, day, '00:00');
    expect(plusCalendarDays(zone, midnight, 1)).toBe(addHours(midnight, hours));
  });

  // Temporal documentation, duration balancing (published).
  it.each([
    [LOS_ANGELES, '2020-03-08', 48, 2, 1],
    [LOS_ANGELES, '2020-03-08', 72, 3, 1],
    ['Europe/Rome', '2020-01-01', 2756, 114, 21],
    ['UTC', '2020-01-01', 2756, 114, 20],
  ])('%s %s: %i hours are %i days and %i hours', (zone, day, total, days, hours) => {
    const start = instantAt(zone, day, '00:00');
    expect(addHours(plusCalendarDays(zone, start, days), hours)).toBe(addHours(start, total));
  });

  it('equal Temporal from any instant', () => {
    fc.assert(
      fc.property(zoneAndInstant, fc.integer({ min: -30, max: 30 }), ([zone, instant], days) => {
        const expected = written(zoned(zone, instant).add({ days }));
        expect(plusCalendarDays(zone, instant, days)).toBe(expected);
      }),
      { numRuns: runs(500) },
    );
  });
});

describe('hours of the day', () => {
  it.each([
    ['2026-07-01T06:59:00Z', '2026-07-01T07:00:00Z'], // 07:59 in summer time
    ['2026-07-01T07:00:00Z', '2026-07-01T07:00:00Z'],
    ['2026-07-01T18:59:59Z', '2026-07-01T18:59:59Z'],
    ['2026-07-01T19:00:00Z', '2026-07-02T07:00:00Z'], // 20:00 is outside
    ['2026-03-28T20:00:00Z', '2026-03-29T07:00:00Z'], // 11 hours of night
    ['2026-10-24T19:00:00Z', '2026-10-25T08:00:00Z'], // 13 hours of night
  ])('from %s the next is %s', (from, next) => {
    expect(nextWithinHours(LONDON, utc(from), 8, 20)).toBe(utc(next));
  });

  it('takes the first moment after a skipped opening hour', () => {
    expect(nextWithinHours(NEW_YORK, utc('2026-03-08T00:00-05:00'), 2, 4)).toBe(
      utc('2026-03-08T03:00-04:00'),
    );
    // The one hour of that day that is open is skipped whole.
    expect(nextWithinHours(NEW_YORK, utc('2026-03-08T00:00-05:00'), 2, 3)).toBe(
      utc('2026-03-09T02:00-04:00'),
    );
  });

  it('is the first minute from then on that the wall clock shows inside', () => {
    const hours = fc
      .tuple(fc.integer({ min: 0, max: 23 }), fc.integer({ min: 1, max: 24 }))
      .filter(([from, to]) => from < to);
    fc.assert(
      fc.property(zoneAndInstant, hours, ([zone, instant], [from, to]) => {
        const inside = (at: string) => {
          const { hour } = zoned(zone, at);
          return hour >= from && hour < to;
        };
        const next = nextWithinHours(zone, instant, from, to);
        expect(inside(next)).toBe(true);
        expect(next === instant).toBe(inside(instant));
        for (let ms = msOf(instant); ms < msOf(next); ms += 15 * 60_000) {
          expect(inside(new Date(ms).toISOString())).toBe(false);
        }
        expect(next === instant || !inside(addMinutes(next, -1))).toBe(true);
      }),
      { numRuns: runs(150) },
    );
  });

  it.each([
    [20, 8],
    [8, 8],
    [-1, 8],
    [8, 25],
    [Number.NaN, 8],
  ])('refuses %d to %d', (from, to) => {
    expect(() => nextWithinHours(LONDON, utc('2026-01-01T00:00Z'), from, to)).toThrow(RangeError);
  });

  it('keeps any day of any zone inside 24 hours', () => {
    fc.assert(
      fc.property(anyDay, anyZone, (day, zone) => {
        const noon = instantAt(zone, day, '12:00');
        expect(nextWithinHours(zone, noon, 0, 24)).toBe(noon);
      }),
    );
  });
});
