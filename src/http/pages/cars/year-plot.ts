import { addMonths, monthOf, yearOf } from '../../../domain/calendar/day.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import { dateOf, daysInMonth } from '../../../domain/calendar/day-number.ts';
import type { Instant } from '../../../domain/calendar/instant.ts';
import { msOf } from '../../../domain/calendar/instant.ts';
import { dayIn, instantAt } from '../../../domain/calendar/zone.ts';
import type { Position } from '../../../domain/folding/position-log.ts';
import { tenth } from '../frame/plot.ts';

const LEFT = 40;
const RIGHT = 352;
const TOP = 16;
const ROW = 14;
const BAR = 9;
const DAYS = 31;
const DAY_MS = 86_400_000;

interface SpellShown {
  readonly position: Position;
  readonly from: Instant;
  readonly to: Instant;
}

/** A year of a top, a row a month and a column a day, in the units of a field 360 wide. */
export interface YearPlot {
  readonly height: number;
  readonly months: readonly { readonly y: string; readonly word: string }[];
  readonly dates: readonly { readonly x: string; readonly word: string }[];
  readonly bars: readonly {
    readonly position: Position;
    readonly x: string;
    readonly y: string;
    readonly width: string;
  }[];
  readonly barHeight: number;
}

/**
 * Draws the year up to `now` in the car's own zone. Time before the first entry of the log is unknown
 * and stays empty.
 */
export function yearPlot(
  spells: readonly SpellShown[],
  zone: string,
  now: Instant,
  monthName: (month: Day) => string,
): YearPlot {
  const today = dayIn(zone, now);
  const first = addMonths(`${today.slice(0, 7)}-01`, -12);
  const rowOf = (day: Day) => (yearOf(day) - yearOf(first)) * 12 + monthOf(day) - monthOf(first);
  const x = (days: number) => LEFT + ((RIGHT - LEFT) * days) / DAYS;
  const y = (row: number) => TOP + row * ROW;
  const bars = spells.flatMap(({ position, from, to }) => {
    const begin = placeOf(zone, from);
    const end = placeOf(zone, to);
    const [firstRow, lastRow] = [rowOf(begin.day), rowOf(end.day)];
    return Array.from({ length: Math.max(0, lastRow - firstRow + 1) }, (_, i) => {
      const row = firstRow + i;
      const month = addMonths(first, row);
      const start = row === firstRow ? begin.days : 0;
      const stop = row === lastRow ? end.days : daysInMonth(yearOf(month), monthOf(month));
      const width = tenth(Math.max(x(stop) - x(start), 0.5));
      return { position, x: tenth(x(start)), y: tenth(y(row)), width, row };
    }).filter(({ row }) => row >= 0);
  });
  const rows = rowOf(today) + 1;
  return {
    height: y(rows) + 4,
    months: Array.from({ length: rows }, (_, row) => ({
      y: tenth(y(row) + BAR / 2),
      word: monthName(addMonths(first, row)),
    })),
    dates: [1, 8, 15, 22, 29].map((date) => ({ x: tenth(x(date - 0.5)), word: String(date) })),
    bars: bars.map(({ row: _row, ...bar }) => bar),
    barHeight: BAR,
  };
}

/** Days of its month that are over at an instant, parts of a day with them. */
function placeOf(zone: string, at: Instant): { readonly day: Day; readonly days: number } {
  const day = dayIn(zone, at);
  const since = (msOf(at) - msOf(instantAt(zone, day, '00:00'))) / DAY_MS;
  return { day, days: dateOf(day) - 1 + Math.min(Math.max(since, 0), 1) };
}
