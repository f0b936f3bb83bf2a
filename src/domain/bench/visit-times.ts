import type { Day } from '../calendar/day.ts';
import { PLACE_MINUTES } from './bench-figures.ts';

/** A time of day by the shop's own clock, as 'HH:MM'. */
export type ClockTime = string;

/** From when to when somebody takes cars in and hands them out. */
export interface OpenHours {
  readonly from: ClockTime;
  readonly to: ClockTime;
}

/** An open day of the bench. */
export interface BenchDay {
  readonly day: Day;
  readonly hours: OpenHours;
}

/** A visit that has its place already; null as drop-off stands for "some time that day". */
export interface TakenTime {
  readonly on: Day;
  readonly dropOff: ClockTime | null;
  readonly places: number;
}

/** When a car is brought, and from when on it can be fetched. */
export interface VisitTimes {
  readonly on: Day;
  readonly dropOff: ClockTime;
  readonly readyOn: Day;
  readonly ready: ClockTime;
}

/** What a visit asks of the days. */
export interface TimeAsked {
  readonly on: Day;
  readonly places: number;
  /** Only at this time; the first that is free where absent. */
  readonly dropOff?: ClockTime | undefined;
  /** Not before this time of that day. */
  readonly notBefore?: ClockTime | undefined;
}

/** Usual opening hours, eight hours of bench and one of rest between them: a shop rule. */
export const USUAL_HOURS: OpenHours = { from: '08:00', to: '17:00' };

type Bench = readonly (readonly boolean[])[];

/**
 * When a visit of so many half hours can begin on a day and when it is done, beside what is there:
 * at the first time from which one bench is free for all of it, else with breaks while others have
 * their turn; null where the day cannot hold it. One that is longer than the day runs on into the
 * next open ones. `days` are open days in order, from the asked one on; `benches` work side by side.
 */
export function visitTimes(
  days: readonly BenchDay[],
  benches: number,
  taken: readonly TakenTime[],
  asked: TimeAsked,
): VisitTimes | null {
  const first = days.findIndex(({ day }) => day === asked.on);
  const day = days[first];
  if (day === undefined) return null;
  const board = boardOf(days, benches, taken);
  const cells = cellsOf(day.hours);
  const from = asked.dropOff ?? later(day.hours.from, asked.notBefore);
  const start = Math.ceil((minutesOf(from) - minutesOf(day.hours.from)) / PLACE_MINUTES);
  if (asked.dropOff !== undefined && timeAt(day, start) !== asked.dropOff) return null;
  if (start < 0) return null;
  const last = asked.dropOff === undefined ? cells - 1 : start;
  for (const whole of [true, false]) {
    for (let cell = start; cell <= last; cell += 1) {
      for (let bench = 0; bench < benches; bench += 1) {
        const run = runFrom(board, days, { first, bench, cell, places: asked.places });
        if (run === null || (whole && run.broken)) continue;
        return {
          on: asked.on,
          dropOff: timeAt(day, cell),
          readyOn: run.end.day.day,
          ready: timeAt(run.end.day, run.end.cell),
        };
      }
    }
  }
  return null;
}

/** Half hours of an open day. */
export function cellsOf({ from, to }: OpenHours): number {
  return Math.max(0, Math.floor((minutesOf(to) - minutesOf(from)) / PLACE_MINUTES));
}

/** How many benches work side by side, where a day has so many minutes of bench in these hours. */
export function benchesFor(minutesPerDay: number, hours: OpenHours): number {
  return Math.max(1, Math.ceil(minutesPerDay / Math.max(1, cellsOf(hours) * PLACE_MINUTES)));
}

interface Run {
  readonly broken: boolean;
  readonly end: { readonly day: BenchDay; readonly cell: number };
  /** The cells that it takes: index of the day and of the half hour. */
  readonly cells: readonly (readonly [number, number])[];
}

/**
 * The half hours that a visit takes on one bench from a free one on, passing over what is taken.
 * Only what no day could hold may run on into the next.
 */
function runFrom(
  board: readonly Bench[],
  days: readonly BenchDay[],
  start: { readonly first: number; readonly bench: number; readonly cell: number; places: number },
): Run | null {
  const { first, bench, places } = start;
  const whole = days[first];
  if (whole === undefined || board[first]?.[bench]?.[start.cell] === true) return null;
  const longer = places > cellsOf(whole.hours);
  const cells: [number, number][] = [];
  let broken = false;
  const last = longer ? days.length - 1 : first;
  for (let at = first; at <= last; at += 1) {
    const day = days[at];
    if (day === undefined) break;
    for (let cell = at === first ? start.cell : 0; cell < cellsOf(day.hours); cell += 1) {
      if (board[at]?.[bench]?.[cell] === true) {
        broken = true;
        continue;
      }
      cells.push([at, cell]);
      if (cells.length === places) return { broken, end: { day, cell: cell + 1 }, cells };
    }
  }
  return null;
}

/** What is taken of each bench on each day; those with a time of their own come first. */
function boardOf(
  days: readonly BenchDay[],
  benches: number,
  taken: readonly TakenTime[],
): boolean[][][] {
  const board = days.map(({ hours }) =>
    Array.from({ length: benches }, () => Array.from({ length: cellsOf(hours) }, () => false)),
  );
  const timed = taken.filter(({ dropOff }) => dropOff !== null);
  const inOrder = [
    ...timed.toSorted((a, b) => ((a.dropOff ?? '') < (b.dropOff ?? '') ? -1 : 1)),
    ...taken.filter(({ dropOff }) => dropOff === null),
  ];
  for (const visit of inOrder) take(board, days, benches, visit);
  return board;
}

function take(
  board: boolean[][][],
  days: readonly BenchDay[],
  benches: number,
  { on, dropOff, places }: TakenTime,
): void {
  const first = days.findIndex(({ day }) => day === on);
  const day = days[first];
  if (day === undefined) return;
  const begin = minutesOf(dropOff ?? day.hours.from) - minutesOf(day.hours.from);
  const from = Math.max(0, Math.floor(begin / PLACE_MINUTES));
  for (let cell = from; cell < cellsOf(day.hours); cell += 1) {
    for (let bench = 0; bench < benches; bench += 1) {
      const run = runFrom(board, days, { first, bench, cell, places });
      if (run === null) continue;
      for (const [at, one] of run.cells) {
        const lane = board[at]?.[bench];
        if (lane !== undefined) lane[one] = true;
      }
      return;
    }
  }
}

/** Minutes from one time of a day to another; below 0 where that comes first. */
export function minutesBetween(a: ClockTime, b: ClockTime): number {
  return minutesOf(b) - minutesOf(a);
}

function later(a: ClockTime, b: ClockTime | undefined): ClockTime {
  return b !== undefined && b > a ? b : a;
}

function minutesOf(time: ClockTime): number {
  return Number(time.slice(0, 2)) * 60 + Number(time.slice(3, 5));
}

function timeAt({ hours }: BenchDay, cell: number): ClockTime {
  const minutes = minutesOf(hours.from) + cell * PLACE_MINUTES;
  return `${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
}

function two(n: number): string {
  return String(n).padStart(2, '0');
}
