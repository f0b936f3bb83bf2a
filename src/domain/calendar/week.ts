import type { Day } from './day-number.ts';
import { dayFrom, dayOfNumber, numberOfDay, weekdayOfNumber, yearOf } from './day-number.ts';

/** A week of ISO 8601: Monday to Sunday, belonging to the year of its Thursday. */
export interface IsoWeek {
  readonly year: number;
  /** 1 to 52, or 53 in long years. */
  readonly week: number;
  /** '2026-W53'. */
  readonly id: string;
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
