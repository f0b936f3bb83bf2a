import { PLACE_MINUTES } from '../../domain/bench/bench-figures.ts';
import { jamsOf, weeksInWords } from '../../domain/bench/hall.ts';
import { readHorizon } from '../../domain/bench/horizon.ts';
import type { VisitKind } from '../../domain/bench/minutes.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays, daysBetween, isoWeekOf } from '../../domain/calendar/day.ts';
import { invalid } from '../../domain/refusal.ts';
import { openOffers } from '../../store/diary/offer-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import type { CalendarWeek, ClosureRecord } from './diary-calendar.ts';
import { calendarInWords, calendarWeeks, diaryCalendar, mondayOf } from './diary-calendar.ts';
import type { JamRecord } from './diary-jams.ts';
import { benchVisits, benchWeeks, jamRecords } from './diary-jams.ts';
import type { DiaryVisit } from './diary-visits.ts';
import { bookedVisits, expectedId, expectedVisits, lengthsOfVisits } from './diary-visits.ts';
import { grouped } from '../context/grouped.ts';

export interface BookedRecord {
  readonly visitId: string;
  readonly topId: string;
  readonly carId: string;
  readonly ownerId: string;
  readonly ownerName: string;
  readonly registration: string;
  readonly kind: VisitKind;
  readonly on: Day;
  readonly minutes: number;
  readonly places: number;
  readonly because: string;
}

export interface DiaryWeekRecord {
  readonly id: string;
  readonly monday: Day;
  readonly openDays: Day[];
  readonly closures: ClosureRecord[];
  readonly capacityPlaces: number;
  readonly bookedPlaces: number;
  readonly offeredPlaces: number;
  readonly visits: BookedRecord[];
}

export interface DiaryRecord {
  readonly today: Day;
  readonly placeMinutes: number;
  readonly weeks: DiaryWeekRecord[];
  readonly jams: JamRecord[];
  /** The jams in words, and what else is wrong with these weeks. */
  readonly says: string[];
  readonly because: string[];
}

/** Ten years either way: no shop plans or looks further. */
const FURTHEST_DAYS = 3660;

export function requireNear(pointer: string, day: Day, today: Day): void {
  if (Math.abs(daysBetween(today, day)) > FURTHEST_DAYS) {
    throw invalid(pointer, 'Give a day within ten years of today.');
  }
}

/**
 * The bench week by week: what it holds, what is booked and offered, and where more falls due than
 * there is room for. Days that are over take no part in the room of the week that runs.
 */
export async function showDiary(
  context: Context,
  caller: Caller,
  { from: asked, weeks: count }: { readonly from?: Day | undefined; readonly weeks: number },
): Promise<DiaryRecord> {
  const { sql } = context.store;
  const { organisationId } = caller;
  const calendar = await diaryCalendar(sql, organisationId, context.now());
  const { today } = calendar;
  const from = asked ?? today;
  requireNear('from', from, today);
  const weeks = calendarWeeks(calendar, from, count);
  const last = addDays(mondayOf(from), count * 7 - 1);
  const lengthOf = await lengthsOfVisits(sql, calendar);
  const booked = await bookedVisits(sql, calendar, lengthOf, mondayOf(from), last);
  const expected = await expectedVisits(sql, calendar, lengthOf, last);
  const offers = await openOffers(sql, organisationId);
  const offered = new Map(offers.map((offer) => [expectedId(offer), offer.week]));
  const ahead = weeks.filter((week) => addDays(week.monday, 6) >= today);
  const stillToCome = booked.filter(({ on }) => on !== null && on >= today);
  const jams = ahead.length === 0 ? [] : jamsAhead(ahead, [...stillToCome, ...expected.visits]);
  const bookedIn = grouped(booked, ({ on }) => isoWeekOf(on ?? today).id);
  const offeredIn = grouped(expected.visits, ({ id }) => offered.get(id));
  const records = weeks.map((week) =>
    weekRecord(week, bookedIn.get(week.id) ?? [], offeredIn.get(week.id) ?? [], today),
  );
  return {
    today,
    placeMinutes: PLACE_MINUTES,
    weeks: records,
    jams,
    says: [...jams.map(({ words }) => words), ...overfull(records)],
    because: calendarInWords(calendar),
  };
}

function jamsAhead(weeks: readonly CalendarWeek[], visits: readonly DiaryVisit[]): JamRecord[] {
  const { jams, unit } = jamsOf(readHorizon(benchWeeks(weeks), benchVisits(visits)));
  return jamRecords(jams, unit, weeks);
}

function weekRecord(
  { id, monday, openDays, closures, capacity }: CalendarWeek,
  booked: readonly DiaryVisit[],
  offered: readonly DiaryVisit[],
  today: Day,
): DiaryWeekRecord {
  // In the week that runs, visits of days that are over take nothing of the days that are left.
  const running = monday <= today && today <= addDays(monday, 6);
  const taking = booked.filter(({ on }) => !running || (on ?? '') >= today);
  return {
    id,
    monday,
    openDays,
    closures,
    capacityPlaces: capacity,
    bookedPlaces: placesOf(taking),
    offeredPlaces: placesOf(offered),
    visits: booked.map(bookedRecord),
  };
}

function placesOf(visits: readonly DiaryVisit[]): number {
  return visits.reduce((sum, { places }) => sum + places, 0);
}

function bookedRecord({ id, top, kind, on, minutes, places, because }: DiaryVisit): BookedRecord {
  const { topId, carId, ownerId, ownerName, registration } = top;
  const whose = { topId, carId, ownerId, ownerName, registration };
  return { visitId: id, ...whose, kind, on: on ?? '', minutes, places, because };
}

function overfull(weeks: readonly DiaryWeekRecord[]): string[] {
  const full = weeks.filter(({ bookedPlaces, capacityPlaces }) => bookedPlaces > capacityPlaces);
  const shut = weeks.every(({ openDays }) => openDays.length === 0);
  return [
    ...(shut ? ['no open day in these weeks: check opening days and closures'] : []),
    ...full.map(
      ({ id, bookedPlaces, capacityPlaces }) =>
        `${weeksInWords(id, id)}: ${bookedPlaces} half hours booked, room for ${capacityPlaces}`,
    ),
  ];
}
