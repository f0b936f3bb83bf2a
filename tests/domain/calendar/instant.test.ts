import * as fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, it } from 'vitest';
import {
  addHours,
  addMinutes,
  msOf,
  parseInstant,
  toInstant,
} from '../../../src/domain/calendar/instant.ts';
import { anyInstant, two } from './arbitrary-day.ts';

describe('reading an instant', () => {
  // RFC 3339 section 5.8 (published): the printed examples and what they say they equal.
  it.each([
    ['1985-04-12T23:20:50.52Z', '1985-04-12T23:20:50.520Z'],
    ['1996-12-19T16:39:57-08:00', '1996-12-20T00:39:57.000Z'],
    ['1990-12-31T23:59:60Z', '1990-12-31T23:59:59.000Z'],
    ['1990-12-31T15:59:60-08:00', '1990-12-31T23:59:59.000Z'],
    ['1937-01-01T12:00:27.87+00:20', '1937-01-01T11:40:27.870Z'],
  ])('%s', (text, instant) => {
    expect(parseInstant(text)).toBe(instant);
  });

  it.each([
    ['2026-03-28t18:00:00z', '2026-03-28T18:00:00.000Z'],
    ['2026-03-28T18:00Z', '2026-03-28T18:00:00.000Z'],
    ['2026-03-28T18:00:00.1239Z', '2026-03-28T18:00:00.123Z'],
    ['2026-01-01T00:30:00+01:00', '2025-12-31T23:30:00.000Z'],
    ['1969-12-31T23:59:59.999Z', '1969-12-31T23:59:59.999Z'],
    ['1969-12-31T23:59:60Z', '1969-12-31T23:59:59.000Z'],
  ])('%s', (text, instant) => {
    expect(parseInstant(text)).toBe(instant);
  });

  it.each([
    '2026-03-28T18:00:00',
    '2026-03-28',
    '2026-02-29T18:00:00Z',
    '2026-03-28T24:00:00Z',
    '2026-03-28T18:60:00Z',
    '2026-03-28T18:00:60Z',
    '2026-03-28T18:00:61Z',
    '2026-03-28T18:00:00+24:00',
    '2026-03-28T18:00:00+0100',
    '2026-03-28T18:00:00 Europe/London',
    '2026-03-28 18:00:00Z',
    '1900-01-01T00:00:00+01:00',
    '+002026-03-28T18:00:00Z',
    '2026-03-28T18:00:00Z\n',
    '1774720800000',
    '',
  ])('refuses %j', (text) => {
    expect(parseInstant(text)).toBeNull();
  });

  it('equals Temporal for any offset', () => {
    const offset = fc.integer({ min: -23 * 60 - 59, max: 23 * 60 + 59 });
    fc.assert(
      fc.property(anyInstant, offset, (local, minutes) => {
        const size = Math.abs(minutes);
        const zone = `${minutes < 0 ? '-' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`;
        const text = local.replace('Z', zone);
        const expected = Temporal.Instant.from(text).toString({ fractionalSecondDigits: 3 });
        expect(parseInstant(text)).toBe(expected);
      }),
    );
  });
});

describe('counting instants', () => {
  it('equals Date, there and back', () => {
    fc.assert(
      fc.property(fc.integer({ min: -2e12, max: 7e12 }), (ms) => {
        const instant = new Date(ms).toISOString();
        expect(toInstant(ms)).toBe(instant);
        expect(msOf(instant)).toBe(Date.parse(instant));
      }),
    );
  });

  it('adds minutes and hours of real time', () => {
    expect(addMinutes('2026-03-28T23:50:00.000Z', 15)).toBe('2026-03-29T00:05:00.000Z');
    expect(addHours('2026-03-28T18:00:00.000Z', -72)).toBe('2026-03-25T18:00:00.000Z');
  });

  it('refuses another shape than its own', () => {
    expect(() => msOf('2026-03-28T18:00:00Z')).toThrow(RangeError);
  });
});
