import type { Day } from './day-number.ts';
import {
  dateOf,
  dayFrom,
  dayOfNumber,
  daysInMonth,
  monthOf,
  numberOfDay,
  weekdayOfNumber,
  yearOf,
} from './day-number.ts';

export type { Day } from './day-number.ts';
export { monthOf, yearOf } from './day-number.ts';
export { isoWeekOf, mondayOfIsoWeek } from './week.ts';

const FIRST_YEAR = 1900;
const LAST_YEAR = 2200;
/** What to do about a text that is no such day. */
export const DAY_ADVICE = `Give a calendar day that exists, as YYYY-MM-DD, from ${FIRST_YEAR} to ${LAST_YEAR}.`;
const SHAPE = /^\d{4}-\d{2}-\d{2}$/;

/** True for a day that exists, written 'YYYY-MM-DD', from 1900 to 2200. */
export function isDay(text: string): boolean {
  if (!SHAPE.test(text)) return false;
  const year = yearOf(text);
  const month = monthOf(text);
  const date = dateOf(text);
  if (year < FIRST_YEAR || year > LAST_YEAR || month < 1 || month > 12) return false;
  return date >= 1 && date <= daysInMonth(year, month);
}

export function addDays(day: Day, n: number): Day {
  return dayOfNumber(numberOfDay(day) + n);
}

/** Days from `a` to `b`: positive where `b` is later. */
export function daysBetween(a: Day, b: Day): number {
  return numberOfDay(b) - numberOfDay(a);
}

/** `n` months after the anchor, clamped to the end of the month: 31 January + 1 is 28 February. */
export function addMonths(anchor: Day, n: number): Day {
  const months = yearOf(anchor) * 12 + monthOf(anchor) - 1 + n;
  const year = Math.floor(months / 12);
  const month = months - year * 12 + 1;
  return dayFrom(year, month, Math.min(dateOf(anchor), daysInMonth(year, month)));
}

/**
 * The nth due day: anchor + n × interval, counted from the anchor each time, so that 29 February
 * comes back in leap years (RFC 7529, SKIP=BACKWARD).
 */
export function dueDay(anchor: Day, intervalMonths: number, n: number): Day {
  return addMonths(anchor, intervalMonths * n);
}

/** 1 for Monday to 7 for Sunday (ISO 8601). */
export function weekdayOf(day: Day): number {
  return weekdayOfNumber(numberOfDay(day));
}
