import type { VisitKind } from '../../domain/bench/minutes.ts';
import { placesFor } from '../../domain/bench/minutes.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays } from '../../domain/calendar/day.ts';
import { notFound } from '../../domain/refusal.ts';
import { topForDiary } from '../../store/diary/diary-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import type { BookedTimes } from './day-times.ts';
import { daysAround, daysToChoose } from './day-times.ts';
import { calendarWeeks, diaryCalendar, firstDayForOwners, mondayOf } from './diary-calendar.ts';
import { roomForVisit } from './diary-days.ts';
import { bookedVisits, lengthsOfVisits } from './diary-visits.ts';
import { grouped } from '../context/grouped.ts';
import { showOffer } from './offer-weeks.ts';

export interface RoomyWeekRecord {
  readonly id: string;
  readonly monday: Day;
  /** Half hours that are left of the week's bench. */
  readonly roomPlaces: number;
  /** One of the weeks that suit the oiling of this top best. */
  readonly best: boolean;
}

export interface RoomRecord {
  readonly minutes: number;
  readonly because: string;
  /** The weeks that have room for the visit, the soonest first. */
  readonly weeks: RoomyWeekRecord[];
  readonly timeZone: string;
  /** The days of the first of them that owners may choose, each with the first time that it has. */
  readonly days: BookedTimes[];
}

// A quarter of a year, as far as a refused booking looks for the next room.
const WEEKS_SHOWN = 13;

/**
 * The coming weeks that have room for a visit to a top, and with an oiling those that would be
 * offered to its owner, however far ahead. A booking that is moved does not stand in its own way.
 */
export async function weeksWithRoom(
  context: Context,
  caller: Pick<Caller, 'organisationId'>,
  topId: string,
  visit: { readonly kind: VisitKind; readonly id?: string; readonly minutes?: number | null },
): Promise<RoomRecord> {
  const { sql } = context.store;
  const { organisationId } = caller;
  const top = await topForDiary(sql, organisationId, topId);
  if (top === null) throw notFound('top');
  const { kind } = visit;
  const falls = kind === 'lubrication' || (kind === 'look' && top.lookAfterOn !== null);
  const offer =
    falls && top.retiredOn === null
      ? await showOffer(context, caller, topId, { kind, movedId: visit.id })
      : null;
  const best = new Set(offer?.weeks.map(({ id }) => id));
  const calendar = await diaryCalendar(sql, organisationId, context.now());
  const { today } = calendar;
  const lengthOf = await lengthsOfVisits(sql, calendar);
  const usual = lengthOf(visit.kind, top);
  const agreed = visit.minutes ?? null;
  const places = agreed === null ? usual.places : placesFor(agreed);
  const weeks = calendarWeeks(calendar, today, WEEKS_SHOWN);
  const last = addDays(mondayOf(today), WEEKS_SHOWN * 7 - 1);
  const around = (
    await bookedVisits(sql, calendar, lengthOf, daysAround(today).from, daysAround(last).to)
  ).filter(({ id }) => id !== visit.id);
  const others = around.filter(({ on }) => (on ?? '') >= today);
  const byWeek = grouped(others, ({ on }) => mondayOf(on ?? today));
  const soon = weeks.flatMap((week) => {
    const { id, monday } = week;
    const roomPlaces = roomForVisit(calendar, week, byWeek.get(monday) ?? [], places);
    return roomPlaces < places ? [] : [{ id, monday, roomPlaces, best: best.has(id) }];
  });
  const later = (offer?.weeks ?? [])
    .filter(({ monday }) => monday > last)
    .map(({ id, monday, roomPlaces }) => ({ id, monday, roomPlaces, best: true }));
  const { minutes, because } = usual;
  const since = firstDayForOwners(calendar);
  const roomy = since === null ? [] : calendarWeeks(calendar, since, WEEKS_SHOWN, since);
  const free = roomy.filter(
    (week) => roomForVisit(calendar, week, byWeek.get(week.monday) ?? [], places) >= places,
  );
  const shown = free.slice(0, calendar.bench.weeksOffered);
  const days = offer?.days ?? daysToChoose(calendar, shown, around, places);
  return {
    minutes: agreed ?? minutes,
    because,
    weeks: [...soon, ...later],
    timeZone: calendar.timeZone,
    days,
  };
}
