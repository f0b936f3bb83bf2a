import type { Day } from '../calendar/day.ts';
import { addDays, weekdayOf } from '../calendar/day.ts';

/** Days on which the shop stays shut though it would be open; both ends included. */
export interface Closure {
  readonly from: Day;
  readonly to: Day;
}

/** When the bench is manned. */
export interface Opening {
  /** Weekdays that the shop is open: 1 for Monday to 7 for Sunday (ISO 8601). */
  readonly weekdays: readonly number[];
  /** Holidays, fairs, leave. */
  readonly closures: readonly Closure[];
}

/** Whether the shop is open on a day: a weekday of its own, and no closure or holiday. */
export function isOpenOn(day: Day, { weekdays, closures }: Opening): boolean {
  return (
    weekdays.includes(weekdayOf(day)) &&
    !closures.some((closure) => closure.from <= day && day <= closure.to)
  );
}

/** Monday to Friday: what people count by who say "three working days", whenever a shop is open. */
const WORKING_WEEKDAYS = [1, 2, 3, 4, 5];

// A shop shut for longer than this has no diary to offer days from.
const FURTHEST_DAYS = 400;

/**
 * The first open day on which an owner may come who chooses on `today`: none before the nth working
 * day after it, closures and holidays left out. Null where the shop stays shut.
 */
export function firstDayToOffer(today: Day, leadDays: number, opening: Opening): Day | null {
  const from = leadDays === 0 ? today : workingDay(today, leadDays, 1, opening);
  if (from === null) return null;
  for (let n = 0; n <= FURTHEST_DAYS; n += 1) {
    const day = addDays(from, n);
    if (isOpenOn(day, opening)) return day;
  }
  return null;
}

/**
 * The last day on which an owner may still move or cancel a visit: so many working days before it.
 */
export function lastDayToChange(visitOn: Day, noticeDays: number, opening: Opening): Day {
  return (noticeDays === 0 ? null : workingDay(visitOn, noticeDays, -1, opening)) ?? visitOn;
}

/** The nth working day after a day, or before it. */
function workingDay(from: Day, count: number, step: 1 | -1, { closures }: Opening): Day | null {
  const working = { weekdays: WORKING_WEEKDAYS, closures };
  let left = count;
  for (let n = 1; n <= FURTHEST_DAYS; n += 1) {
    const day = addDays(from, n * step);
    if (isOpenOn(day, working)) left -= 1;
    if (left === 0) return day;
  }
  return null;
}
