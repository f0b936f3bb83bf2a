import type { VisitKind } from '../../domain/bench/minutes.ts';
import { placesFor } from '../../domain/bench/minutes.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays, isoWeekOf, weekdayOf } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { notFound, Refused } from '../../domain/refusal.ts';
import type { DiaryTopRow } from '../../store/diary/diary-rows.ts';
import { topForDiary } from '../../store/diary/diary-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { DiaryCalendar } from './diary-calendar.ts';
import { calendarWeeks, clockTimeOf, diaryCalendar, mondayOf } from './diary-calendar.ts';
import type { WeekAsked } from './diary-days.ts';
import { daysWithRoom, full, mondayAsked, roomForVisit } from './diary-days.ts';
import type { BookedTimes } from './day-times.ts';
import { daysAround, timesOn } from './day-times.ts';
import type { DiaryVisit } from './diary-visits.ts';
import { bookedVisits, lengthsOfVisits } from './diary-visits.ts';
import { grouped } from '../context/grouped.ts';

/** A visit for which a day is looked for. */
export interface VisitWanted {
  readonly top: DiaryTopRow;
  readonly kind: VisitKind;
  readonly asked: WeekAsked;
  /** Minutes agreed for it; what such visits take by experience where absent. */
  readonly minutes?: number | null | undefined;
  /** The booking that is moved: it does not stand in its own way. */
  readonly movedId?: string | undefined;
}

// A quarter of a year: whoever finds no room until then has more to settle than one visit.
const WEEKS_SEARCHED = 13;

/**
 * The day and the times that the asked week has for a visit; everything else booked in it has its
 * place first. Hold the diary meanwhile. A week, day or time without room is refused with the next
 * day that has some.
 */
export async function freeDay(
  sql: Sql,
  calendar: DiaryCalendar,
  wanted: VisitWanted,
): Promise<BookedTimes> {
  const { top, kind, asked, minutes = null, movedId } = wanted;
  const { today } = calendar;
  const monday = mondayAsked(asked, today);
  const weeks = calendarWeeks(calendar, monday, 1 + WEEKS_SEARCHED);
  const [week] = weeks;
  if (week === undefined) throw notFound('week');
  const lengthOf = await lengthsOfVisits(sql, calendar);
  const places = minutes === null ? lengthOf(kind, top).places : placesFor(minutes);
  const others = async (from: Day, to: Day) =>
    (await bookedVisits(sql, calendar, lengthOf, from, to)).filter(({ id }) => id !== movedId);
  const from = monday < today ? today : monday;
  const booked = await others(from, addDays(monday, 6));
  try {
    const days = daysWithRoom(calendar, week, booked, places, asked);
    for (const on of days) {
      const { from: first, to: last } = daysAround(on);
      const around = await others(first, last);
      const times = timesOn(calendar, around, { on, places, at: asked.at });
      if (times !== null) return times;
    }
    throw full(noTimeOn(days, asked), 0, places, asked);
  } catch (fault) {
    if (!(fault instanceof Refused) || fault.refusal.kind !== 'conflict') throw fault;
    const { detail, faults = [] } = fault.refusal;
    const ahead = await others(from, addDays(monday, weeks.length * 7 - 1));
    const next = nextWithRoom(calendar, weeks, ahead, places, asked.on);
    const elsewhere =
      next === null ? '' : ` The next day with room is ${next} (${isoWeekOf(next).id}).`;
    throw new Refused({
      kind: 'conflict',
      detail: `${detail}${elsewhere}`,
      faults: faults.map((one) => ({ ...one, detail: `${one.detail}${elsewhere}` })),
    });
  }
}

function noTimeOn(days: readonly Day[], { at }: WeekAsked): string {
  const named = days.length === 1 ? `${days[0]}` : 'that week';
  return at === undefined ? `${named} has` : `${named} at ${at} has`;
}

function nextWithRoom(
  calendar: DiaryCalendar,
  weeks: ReturnType<typeof calendarWeeks>,
  booked: readonly DiaryVisit[],
  places: number,
  notBefore: Day = calendar.today,
): Day | null {
  const byWeek = grouped(booked, ({ on }) => mondayOf(on ?? calendar.today));
  for (const week of weeks) {
    const taken = byWeek.get(week.monday) ?? [];
    if (roomForVisit(calendar, week, taken, places) >= places) {
      const days = daysWithRoom(calendar, week, taken, places, {});
      const day = days.find((one) => one >= notBefore);
      if (day !== undefined) return day;
    }
  }
  return null;
}

/**
 * The times of a day that the organisation itself names for a visit; refused where the diary has no
 * room on it. Days gone by are history and need none: null. A weekday on which the bench is usually shut is taken at
 * the organisation's word, with a day's room of its own, for there is no other way to say "this
 * Saturday"; a closure was said of that very day and stands. Hold the diary, and take no other lock
 * before it.
 */
export async function roomOn(
  sql: Sql,
  organisationId: string,
  visit: Omit<VisitWanted, 'top' | 'asked'> & {
    readonly topId: string;
    readonly plannedOn: Day;
    /** The drop-off that it has, which it keeps. */
    readonly keepAt?: Instant | null;
  },
  now: Instant,
): Promise<BookedTimes | null> {
  const { topId, plannedOn, keepAt = null, ...wanted } = visit;
  const calendar = await diaryCalendar(sql, organisationId, now);
  if (plannedOn < calendar.today) return null;
  const top = await topForDiary(sql, organisationId, topId);
  if (top === null) throw notFound('top');
  const manned = [...new Set([...calendar.weekdays, weekdayOf(plannedOn)])];
  const at = keepAt === null ? {} : { at: clockTimeOf(calendar, keepAt) };
  const asked = { on: plannedOn, field: '#/plannedOn', ...at };
  return freeDay(sql, { ...calendar, weekdays: manned }, { ...wanted, top, asked });
}
