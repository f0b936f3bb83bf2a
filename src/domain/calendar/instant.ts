import { numberOfDay, twoDigitsAt } from './day-number.ts';
import { isDay } from './day.ts';

/**
 * A moment in UTC, always written with milliseconds and Z: '2026-03-28T18:00:00.000Z'. In this one
 * shape instants sort as text.
 */
export type Instant = string;

const MINUTE = 60_000;
const HOUR = 3_600_000;
const DAY = 86_400_000;
const RFC_3339 =
  /^(\d{4}-\d{2}-\d{2})[Tt]([01]\d|2[0-3]):([0-5]\d)(?::([0-5]\d|60)(?:\.(\d+))?)?(?:[Zz]|([+-])([01]\d|2[0-3]):([0-5]\d))$/;

/**
 * Reads a date and time with Z or an offset as RFC 3339 writes it; seconds may be left out. Null
 * where the zone is missing, the day or the time does not exist, or the year is outside 1900 to
 * 2200. Parts of a millisecond are dropped; a leap second, which only the last minute of a day in
 * UTC can have, is read as the second before it, as Temporal does.
 */
export function parseInstant(text: string): Instant | null {
  const parts = RFC_3339.exec(text);
  if (!parts) return null;
  const [, day = '', hour, minute, second = '0', fraction = '', sign, offsetHour, offsetMinute] =
    parts;
  if (!isDay(day)) return null;
  const leap = second === '60';
  const offset = sign
    ? (sign === '-' ? -1 : 1) * (Number(offsetHour) * HOUR + Number(offsetMinute) * MINUTE)
    : 0;
  const ms =
    numberOfDay(day) * DAY +
    Number(hour) * HOUR +
    Number(minute) * MINUTE +
    (leap ? 59 : Number(second)) * 1000 +
    Number(fraction.slice(0, 3).padEnd(3, '0')) -
    offset;
  if (leap && ((ms % DAY) + DAY) % DAY < DAY - MINUTE) return null;
  const instant = toInstant(ms);
  return isDay(instant.slice(0, 10)) ? instant : null;
}

/** The instant that many milliseconds after 1970-01-01T00:00Z. */
export function toInstant(ms: number): Instant {
  return new Date(ms).toISOString();
}

/**
 * Milliseconds since 1970-01-01T00:00Z. Reads the fixed shape by position, which is several times
 * faster than Date; throws a RangeError where the text has another length.
 */
export function msOf(instant: Instant): number {
  if (instant.length !== 24) throw new RangeError('An instant is written YYYY-MM-DDTHH:MM:SS.mmmZ');
  return (
    numberOfDay(instant) * DAY +
    twoDigitsAt(instant, 11) * HOUR +
    twoDigitsAt(instant, 14) * MINUTE +
    twoDigitsAt(instant, 17) * 1000 +
    twoDigitsAt(instant, 20) * 10 +
    instant.charCodeAt(22) -
    48
  );
}

export function addMinutes(instant: Instant, minutes: number): Instant {
  return toInstant(msOf(instant) + minutes * MINUTE);
}

export function addHours(instant: Instant, hours: number): Instant {
  return toInstant(msOf(instant) + hours * HOUR);
}
