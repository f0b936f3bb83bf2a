import { Temporal } from 'temporal-polyfill';
import { dayOfNumber, numberOfDay } from './day-number.ts';
import type { Day } from './day.ts';
import type { Instant } from './instant.ts';
import { msOf, toInstant } from './instant.ts';
import { msAtWallClock, offsetSpanAt } from './zone-offsets.ts';

const MINUTE = 60_000;
const HOUR = 3_600_000;
const DAY = 86_400_000;

const knownZones = new Set<string>();

/** True for a zone of the IANA database such as 'Europe/London'; an offset like '+01:00' is none. */
export function isZone(name: string): boolean {
  if (knownZones.has(name)) return true;
  if (!/^[A-Za-z]/.test(name)) return false;
  try {
    // Not Intl, which also takes old nicknames such as 'PST' that Temporal does not.
    Temporal.Instant.fromEpochMilliseconds(0).toZonedDateTimeISO(name);
  } catch {
    return false;
  }
  knownZones.add(name);
  return true;
}

/** The calendar day in a zone at an instant. Zone functions throw a RangeError for unknown zones. */
export function dayIn(zone: string, instant: Instant): Day {
  return dayOfNumber(Math.floor(wallClockMs(zone, msOf(instant)) / DAY));
}

/** The time of day that a zone's clocks show at an instant, as 'HH:MM'. */
export function clockTimeIn(zone: string, instant: Instant): string {
  const ms = wallClockMs(zone, msOf(instant));
  const inDay = ms - Math.floor(ms / DAY) * DAY;
  const parts = [Math.floor(inDay / HOUR), Math.floor((inDay % HOUR) / MINUTE)];
  return parts.map((n) => String(n).padStart(2, '0')).join(':');
}

/**
 * The instant at which a zone's clocks show 'HH:MM' on a day. A time that comes twice means the
 * first, a time that is skipped means as much later as the gap is long.
 */
export function instantAt(zone: string, day: Day, time: string): Instant {
  const parts = /^([01]\d|2[0-3]):([0-5]\d)$/.exec(time);
  if (!parts) throw new RangeError('A time of day is written HH:MM');
  const inDay = Number(parts[1]) * HOUR + Number(parts[2]) * MINUTE;
  return toInstant(msAtWallClock(zone, numberOfDay(day) * DAY + inDay));
}

/**
 * The same wall-clock time that many calendar days later: 71 or 73 hours may lie in three days.
 * Skipped and twice-told times as in `instantAt`.
 */
export function plusCalendarDays(zone: string, instant: Instant, days: number): Instant {
  // The second of two like times would otherwise jump back to the first.
  if (days === 0) return instant;
  return toInstant(msAtWallClock(zone, wallClockMs(zone, msOf(instant)) + days * DAY));
}

/**
 * The first instant, this one or a later one, from `fromHour`:00 on and before `toHour`:00 in a
 * zone. Time is walked from one change of the clocks to the next, so neither a skipped nor a
 * repeated opening hour leads outside. Throws a RangeError unless 0 ≤ fromHour < toHour ≤ 24.
 */
export function nextWithinHours(
  zone: string,
  instant: Instant,
  fromHour: number,
  toHour: number,
): Instant {
  if (!(fromHour >= 0 && fromHour < toHour && toHour <= 24)) {
    throw new RangeError('Hours of a day: 0 or more, the first before the last, 24 at most');
  }
  const asked = msOf(instant);
  for (let ms = asked; ;) {
    const { offset, until } = offsetSpanAt(zone, ms);
    const opening = ms + waitFor((((ms + offset) % DAY) + DAY) % DAY, fromHour, toHour);
    if (opening < until) return opening === asked ? instant : toInstant(opening);
    ms = until;
  }
}

/** Milliseconds from a time of day to the next opening by a clock that is not changed. */
function waitFor(inDay: number, fromHour: number, toHour: number): number {
  if (inDay < fromHour * HOUR) return fromHour * HOUR - inDay;
  return inDay < toHour * HOUR ? 0 : DAY - inDay + fromHour * HOUR;
}

function wallClockMs(zone: string, ms: number): number {
  return ms + offsetSpanAt(zone, ms).offset;
}
