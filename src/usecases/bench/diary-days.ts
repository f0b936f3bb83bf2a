import { PLACE_MINUTES } from '../../domain/bench/bench-figures.ts';
import type { ClockTime } from '../../domain/bench/visit-times.ts';
import { weeksInWords } from '../../domain/bench/hall.ts';
import { timeInWords } from '../../domain/calls/call-order.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays, daysBetween, mondayOfIsoWeek } from '../../domain/calendar/day.ts';
import { invalid, Refused } from '../../domain/refusal.ts';
import type { CalendarWeek, DiaryCalendar } from './diary-calendar.ts';
import { firstDayForOwners, MOST_WEEKS_AHEAD, mondayOf } from './diary-calendar.ts';
import type { DiaryVisit } from './diary-visits.ts';

/** The week, or the day itself, that is asked for. */
export interface WeekAsked {
  readonly week?: string | undefined;
  readonly on?: Day | undefined;
  /** When the car is to be brought on that day; the first time that is free where absent. */
  readonly at?: ClockTime | undefined;
  /** What the day is called in what was handed in; "#/on" where absent. */
  readonly field?: string;
}

function fieldOf({ on, field = '#/on' }: WeekAsked): string {
  return on === undefined ? '#/week' : field;
}

/** The Monday of the week asked for; refused by field where it is over, far off, or no week. */
export function mondayAsked(asked: WeekAsked, today: Day): Day {
  const { week, on } = asked;
  if ((week === undefined) === (on === undefined)) {
    throw invalid('#/week', 'Give either a week, such as 2026-W23, or a day as "on".');
  }
  const pointer = fieldOf(asked);
  const monday = on === undefined ? mondayNamed(week ?? '') : mondayOf(on);
  if ((on ?? addDays(monday, 6)) < today) {
    throw invalid(pointer, `This is over: today is ${today}. Choose a later one.`);
  }
  if (daysBetween(mondayOf(today), monday) > MOST_WEEKS_AHEAD * 7) {
    throw invalid(pointer, `The diary goes ${MOST_WEEKS_AHEAD} weeks ahead. Choose a sooner one.`);
  }
  return monday;
}

function mondayNamed(week: string): Day {
  try {
    return mondayOfIsoWeek(week);
  } catch {
    throw invalid('#/week', 'Give a week that exists, as in 2026-W23.');
  }
}

/**
 * The days of a week on which a visit can be put, the best first: the one asked for, or the open days
 * by their room, those that owners may choose before those that are nearer. The week must have room
 * for it beside what is booked, and so must the day, unless the visit is longer than any day. Refused
 * by field where the shop is closed, with a conflict where it is full; never empty.
 */
export function daysWithRoom(
  calendar: DiaryCalendar,
  week: CalendarWeek,
  booked: readonly DiaryVisit[],
  places: number,
  asked: WeekAsked,
): Day[] {
  const { on } = asked;
  refuseClosed(week, asked);
  const left = leftOf(week, booked);
  const named = weeksInWords(week.id, week.id);
  if (left < places) throw full(`${named} has`, left, places, asked);
  const { wholeDay, needed } = daysNeed(calendar, places);
  const room = roomOfDays(week.openDays, wholeDay, booked);
  if (on !== undefined) {
    const roomOn = room.get(on) ?? 0;
    if (roomOn < needed) throw full(`${on} has`, roomOn, places, asked);
    return [on];
  }
  const most = Math.max(0, ...room.values());
  if (most < needed) throw full(`no day of ${named} has more than`, most, places, asked);
  const lead = firstDayForOwners(calendar) ?? '';
  const nearness = (day: Day) => (day >= lead ? 0 : day > calendar.today ? 1 : 2);
  return [...room]
    .filter(([, roomOn]) => roomOn >= needed)
    .sort(
      ([a, roomA], [b, roomB]) => nearness(a) - nearness(b) || roomB - roomA || (a < b ? -1 : 1),
    )
    .map(([day]) => day);
}

/**
 * What a week has left for a visit of so many places, beside what is booked in it: none where no day
 * could hold it in one piece.
 */
export function roomForVisit(
  calendar: DiaryCalendar,
  week: CalendarWeek,
  booked: readonly DiaryVisit[],
  places: number,
): number {
  const left = leftOf(week, booked);
  const { wholeDay, needed } = daysNeed(calendar, places);
  const room = roomOfDays(week.openDays, wholeDay, booked);
  return [...room.values()].some((most) => most >= needed) ? left : 0;
}

/** The open days of a week that have room for a visit beside what is booked in it, in order. */
export function openDaysWithRoom(
  calendar: DiaryCalendar,
  week: CalendarWeek,
  booked: readonly DiaryVisit[],
  places: number,
): Day[] {
  if (leftOf(week, booked) < places) return [];
  const { wholeDay, needed } = daysNeed(calendar, places);
  const room = roomOfDays(week.openDays, wholeDay, booked);
  return [...room].flatMap(([day, left]) => (left >= needed ? [day] : []));
}

function leftOf({ capacity }: CalendarWeek, booked: readonly DiaryVisit[]): number {
  return Math.max(0, capacity - booked.reduce((sum, { places }) => sum + places, 0));
}

/** Half hours of an open day, and how many of them a visit needs on one day. */
function daysNeed({ bench }: DiaryCalendar, places: number): { wholeDay: number; needed: number } {
  const wholeDay = Math.floor(bench.minutesPerDay / PLACE_MINUTES);
  return { wholeDay, needed: places > wholeDay ? 1 : places };
}

/** Half hours left on each open day; what its day cannot hold runs on into the next open ones. */
export function roomOfDays(
  openDays: readonly Day[],
  wholeDay: number,
  booked: readonly DiaryVisit[],
): Map<Day, number> {
  const room = new Map(openDays.map((day) => [day, wholeDay]));
  for (const visit of booked) {
    let places = visit.places;
    for (const day of openDays) {
      if (day < (visit.on ?? '') || !room.has(visit.on ?? '')) continue;
      const used = Math.min(places, room.get(day) ?? 0);
      room.set(day, (room.get(day) ?? 0) - used);
      places -= used;
    }
  }
  return room;
}

function refuseClosed({ id, openDays, closures }: CalendarWeek, asked: WeekAsked): void {
  const { on } = asked;
  if (on === undefined ? openDays.length > 0 : openDays.includes(on)) return;
  const why = closures
    .filter(({ from, to }) => on === undefined || (from <= on && on <= to))
    .map(({ words }) => words);
  const reason = why.length > 0 ? `: ${why.join(', ')}` : '';
  const what = on === undefined ? `in ${weeksInWords(id, id)}` : `on ${on}`;
  throw invalid(fieldOf(asked), `The shop is closed ${what}${reason}. Choose another.`);
}

export function full(where: string, left: number, places: number, asked: WeekAsked): Refused {
  const detail = `${capital(where)} ${hours(left)} of bench left; this visit takes ${hours(places)}.`;
  return new Refused({
    kind: 'conflict',
    detail: `${detail} GET /v1/diary shows where there is room.`,
    faults: [{ pointer: fieldOf(asked), detail }],
  });
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function hours(places: number): string {
  return places === 0 ? 'no time' : timeInWords(places * PLACE_MINUTES);
}
