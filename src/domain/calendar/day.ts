import {
  dateOf,
  dayFrom,
  dayOfNumber,
  daysInMonth,
  monthOf,
  numberOfDay,
  yearOf,
} from './day-number.ts';

export { monthOf, yearOf } from './day-number.ts';

/**
 * A day of the Gregorian calendar, 'YYYY-MM-DD'; days sort as text. Functions take days that
 * `isDay` has accepted, and throw a RangeError where a result leaves the years 1 to 9999.
 */
export type Day = string;

/** A week of ISO 8601: Monday to Sunday, belonging to the year of its Thursday. */
export interface IsoWeek {
  readonly year: number;
  /** 1 to 52, or 53 in long years. */
  readonly week: number;
  /** '2026-W53'. */
  readonly id: string;
}

const FIRST_YEAR = 1900;
const LAST_YEAR = 2200;
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

export function isoWeekOf(day: Day): IsoWeek {
  const n = numberOfDay(day);
  const thursday = n + 4 - weekdayOfNumber(n);
  const year = yearOf(dayOfNumber(thursday));
  const week = Math.floor((thursday - numberOfDay(dayFrom(year, 1, 1))) / 7) + 1;
  const id = `${String(year).padStart(4, '0')}-W${String(week).padStart(2, '0')}`;
  return { year, week, id };
}

/** The Monday of a week such as '2026-W53'. Throws a RangeError where there is no such week. */
export function mondayOfIsoWeek(id: string): Day {
  const parts = /^(\d{4})-W(\d{2})$/.exec(id);
  if (!parts) throw new RangeError('A week is written YYYY-Www, like 2026-W53');
  // 4 January always lies in week 1.
  const inFirstWeek = numberOfDay(`${parts[1]}-01-04`);
  const firstMonday = inFirstWeek + 1 - weekdayOfNumber(inFirstWeek);
  const monday = dayOfNumber(firstMonday + (Number(parts[2]) - 1) * 7);
  if (isoWeekOf(monday).id !== id) throw new RangeError(`There is no week ${id}`);
  return monday;
}

function weekdayOfNumber(n: number): number {
  // 1970-01-01, day 0, was a Thursday.
  return ((((n + 3) % 7) + 7) % 7) + 1;
}
