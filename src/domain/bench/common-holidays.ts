import type { Day } from '../calendar/day.ts';

// New Year, and both days of Christmas: off in most places where this is used. Common practice, no source.
const COMMON: ReadonlySet<string> = new Set(['01-01', '12-25', '12-26']);

/**
 * Whether a day is off in most places: as long as an organisation has not said where it is, no owner is
 * offered such a day. Which others are off only its place tells.
 */
export function isCommonHoliday(day: Day): boolean {
  return COMMON.has(day.slice(5));
}
