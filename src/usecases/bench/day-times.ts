import { isCommonHoliday } from '../../domain/bench/common-holidays.ts';
import type { BenchDay, ClockTime, VisitTimes } from '../../domain/bench/visit-times.ts';
import { benchesFor, visitTimes } from '../../domain/bench/visit-times.ts';
import { isOpenOn } from '../../domain/bench/working-days.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { instantAt } from '../../domain/calendar/zone.ts';
import type { CalendarWeek, DiaryCalendar } from './diary-calendar.ts';
import { hoursOf, mondayOf } from './diary-calendar.ts';
import { openDaysWithRoom } from './diary-days.ts';
import type { DiaryVisit } from './diary-visits.ts';

/** A day with its times, as a visit keeps them. */
export interface BookedTimes {
  readonly on: Day;
  /** When the car is to be brought, and from when on it can be fetched. */
  readonly dropOffAt: Instant;
  readonly readyAt: Instant;
}

// What was begun before a day may still stand on the bench; what is long runs on behind it.
const DAYS_BEFORE = 14;
const DAYS_AFTER = 28;

/** The days whose bookings decide about the times of a day. */
export function daysAround(day: Day): { readonly from: Day; readonly to: Day } {
  return { from: addDays(day, -DAYS_BEFORE), to: addDays(day, DAYS_AFTER) };
}

/**
 * When a visit of so many half hours is brought and ready on an open day, beside what is booked on the
 * days around it; null where the day has no time for it, or not at the time asked for. Of today only
 * what is still to come counts.
 */
export function timesOn(
  calendar: DiaryCalendar,
  booked: readonly DiaryVisit[],
  asked: { readonly on: Day; readonly places: number; readonly at?: ClockTime | undefined },
): BookedTimes | null {
  const { on, places, at } = asked;
  const { today, clock, bench, timeZone } = calendar;
  const { from, to } = daysAround(on);
  const days: BenchDay[] = [];
  for (let day = from; day <= to; day = addDays(day, 1)) {
    if (day === on || isOpenOn(day, calendar)) days.push({ day, hours: hoursOf(calendar, day) });
  }
  const taken = booked.map((visit) => ({
    on: visit.on ?? '',
    dropOff: visit.dropOff ?? null,
    places: visit.places,
  }));
  const benches = benchesFor(bench.minutesPerDay, hoursOf(calendar, on));
  const times = visitTimes(days, benches, taken, {
    on,
    places,
    dropOff: at,
    notBefore: on === today ? clock : undefined,
  });
  return times === null ? null : instantsOf(timeZone, times);
}

/**
 * The days of some weeks that can take a visit, each with the first time that it has for it. Where the
 * place is not known, and with it the holidays, none that is off nearly everywhere.
 */
export function daysToChoose(
  calendar: DiaryCalendar,
  weeks: readonly CalendarWeek[],
  booked: readonly DiaryVisit[],
  places: number,
): BookedTimes[] {
  return weeks.flatMap((week) => {
    const own = booked.filter(({ on }) => mondayOf(on ?? '') === week.monday);
    return openDaysWithRoom(calendar, week, own, places)
      .filter((on) => calendar.place !== null || !isCommonHoliday(on))
      .flatMap((on) => timesOn(calendar, booked, { on, places }) ?? []);
  });
}

function instantsOf(zone: string, { on, dropOff, readyOn, ready }: VisitTimes): BookedTimes {
  return {
    on,
    dropOffAt: instantAt(zone, on, dropOff),
    readyAt: instantAt(zone, readyOn, ready),
  };
}
