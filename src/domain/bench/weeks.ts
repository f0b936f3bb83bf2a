import { addDays, isDay, monthOf, weekdayOf } from '../calendar/day.ts';
import type { Day } from '../calendar/day.ts';
import { isoWeekOf } from '../calendar/week.ts';
import { valuesOf } from '../figures/figure.ts';
import type { FigureValues } from '../figures/figure.ts';
import { BENCH_FIGURES, PLACE_MINUTES } from './bench-figures.ts';
import type { Opening } from './working-days.ts';
import { isOpenOn } from './working-days.ts';

/** One ISO week of the bench. */
export interface OpenWeek {
  /** '2026-W22'. */
  readonly id: string;
  readonly monday: Day;
  readonly openDays: readonly Day[];
  /** Minutes after slack. */
  readonly minutes: number;
  /** Whole half hours of them. */
  readonly capacity: number;
}

/** The weeks, or why there are none to plan in. */
export type OpenWeeks =
  | { readonly weeks: readonly OpenWeek[] }
  | { readonly refused: 'no-open-day'; readonly sentence: string };

/**
 * The bench of `count` ISO weeks from the one that holds `from`: minutes of each open day less the
 * slack of its month, summed and cut to whole half hours. Days before `from` count as shut. Where
 * not one day is open the answer says so instead. Throws `RangeError` on weekdays outside 1 to 7, a
 * closure that ends before it begins, a day that does not exist, or a count outside 1 to 520.
 */
export function openWeeks(
  from: Day,
  count: number,
  opening: Opening,
  values: FigureValues<typeof BENCH_FIGURES> = valuesOf(BENCH_FIGURES),
): OpenWeeks {
  check(from, count, opening);
  const first = addDays(from, 1 - weekdayOf(from));
  const weeks: OpenWeek[] = [];
  for (let n = 0; n < count; n += 1) {
    const monday = addDays(first, n * 7);
    const openDays = [0, 1, 2, 3, 4, 5, 6]
      .map((i) => addDays(monday, i))
      .filter((day) => day >= from && isOpenOn(day, opening));
    const minutes = openDays.reduce((sum, day) => sum + minutesOf(day, values), 0);
    const capacity = Math.floor(minutes / PLACE_MINUTES + 1e-9);
    weeks.push({ id: isoWeekOf(monday).id, monday, openDays, minutes, capacity });
  }
  if (weeks.every((week) => week.openDays.length === 0)) {
    const last = addDays(first, count * 7 - 1);
    const sentence = `No open day from ${from} to ${last}: check opening days and closures.`;
    return { refused: 'no-open-day', sentence };
  }
  return { weeks };
}

function minutesOf(day: Day, values: FigureValues<typeof BENCH_FIGURES>): number {
  const month = monthOf(day);
  const slack = month >= 5 && month <= 8 ? values.slackSummerPct : values.slackElsePct;
  return (values.minutesPerDay * (100 - slack)) / 100;
}

function check(from: Day, count: number, opening: Opening): void {
  if (!isDay(from)) throw new RangeError('The first day does not exist');
  if (!Number.isInteger(count) || count < 1 || count > 520) {
    throw new RangeError('From 1 to 520 weeks');
  }
  if (!opening.weekdays.every((weekday) => [1, 2, 3, 4, 5, 6, 7].includes(weekday))) {
    throw new RangeError('Weekdays go from 1, Monday, to 7, Sunday');
  }
  for (const closure of opening.closures) {
    if (!isDay(closure.from) || !isDay(closure.to) || closure.to < closure.from) {
      throw new RangeError('A closure goes from a day to the same or a later one');
    }
  }
}
