import { offerWeeks } from '../../domain/bench/offers.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays, daysBetween, isoWeekOf, mondayOfIsoWeek } from '../../domain/calendar/day.ts';
import { lookDue } from '../../domain/lubrication/look-again.ts';
import { invalid, notFound } from '../../domain/refusal.ts';
import type { DiaryTopRow } from '../../store/diary/diary-rows.ts';
import { topForDiary } from '../../store/diary/diary-rows.ts';
import type { OfferedKind } from '../../store/diary/offer-rows.ts';
import { openOfferOf } from '../../store/diary/offer-rows.ts';
import type { Context } from '../context/context.ts';
import type { CalendarWeek, DiaryCalendar } from './diary-calendar.ts';
import {
  calendarInWords,
  calendarWeeks,
  diaryCalendar,
  firstDayForOwners,
  mondayOf,
} from './diary-calendar.ts';
import type { BookedTimes } from './day-times.ts';
import { daysAround, daysToChoose } from './day-times.ts';
import { roomForVisit } from './diary-days.ts';
import { grouped } from '../context/grouped.ts';
import { bookedVisits, dueWindow, lengthsOfVisits } from './diary-visits.ts';

/** What may be offered for one visit. */
export interface Offerable {
  readonly places: number;
  /** First and last week of the due window. */
  readonly earliest: string;
  readonly latest: string;
  /** The week that the plan has for it; null where there is no plan. */
  readonly planned: string | null;
}

/**
 * The weeks to offer for a visit, in order: the planned one first of all, then the quietest of the
 * due window, well apart; where the window has too few left, the soonest weeks after it. `room`
 * holds what is left of each week when everything planned and booked has its place.
 */
export function weeksToOffer(
  visit: Offerable,
  weeks: readonly CalendarWeek[],
  room: readonly number[],
  count: number,
): string[] {
  const { places, earliest, latest, planned } = visit;
  const bench = weeks.map(({ id, capacity, openDays }, i) => {
    return { id, capacity, openDays, room: room[i] ?? 0 };
  });
  const chosen = planned === null ? [] : [planned];
  const window = bench.filter(({ id }) => id >= earliest && id <= latest && id !== planned);
  if (count > chosen.length) {
    chosen.push(...offerWeeks(window, places, [], count - chosen.length).weeks.map(String));
  }
  const later = bench.filter(
    ({ id, openDays, room: left }) =>
      id > latest && id !== planned && openDays.length > 0 && left >= places,
  );
  chosen.push(...later.slice(0, Math.max(0, count - chosen.length)).map(({ id }) => id));
  return chosen.sort();
}

export interface OfferedWeekRecord {
  readonly id: string;
  readonly monday: Day;
  readonly openDays: Day[];
  /** Half hours that are left of the week's bench. */
  readonly roomPlaces: number;
}

export interface OfferRecord {
  readonly topId: string;
  readonly carId: string;
  readonly ownerId: string;
  readonly kind: OfferedKind;
  readonly dueOn: Day;
  /** When the weeks were offered to the owner; null where they were not yet. */
  readonly offeredAt: string | null;
  readonly minutes: number;
  readonly places: number;
  readonly weeks: OfferedWeekRecord[];
  /** The days of these weeks that may be chosen, each with the first time that it has. */
  readonly days: BookedTimes[];
  readonly because: string[];
}

// A quarter of a year after the due window: whoever finds no week until then must be rung.
const LATER_WEEKS = 13;

/**
 * The weeks and days from which the owner of a top may choose now, for its oil or for its second look:
 * those that were offered and still have room, or where they are gone the best that are left. Nothing nearer than the shop's lead, and
 * nothing on a holiday or a closure. A visit that is moved does not stand in its own way.
 */
export async function showOffer(
  context: Context,
  { organisationId }: { readonly organisationId: string },
  topId: string,
  { kind = 'lubrication', movedId }: { kind?: OfferedKind; movedId?: string | undefined } = {},
): Promise<OfferRecord> {
  const { sql } = context.store;
  const top = await topForDiary(sql, organisationId, topId);
  if (top === null) throw notFound('top');
  if (top.retiredOn !== null) {
    throw invalid(
      'id',
      `This top was retired on ${top.retiredOn}. Take the one that is on the car.`,
    );
  }
  const calendar = await diaryCalendar(sql, organisationId, context.now());
  const { today, bench } = calendar;
  const { dueOn, earliest, latest } = windowOf(top, kind, calendar);
  const since = firstDayForOwners(calendar) ?? addDays(today, LATER_WEEKS * 7);
  const firstWeek = isoWeekOf(since).id;
  const from = mondayOfIsoWeek(earliest < firstWeek ? firstWeek : earliest);
  const to = addDays(mondayOfIsoWeek(latest < firstWeek ? firstWeek : latest), LATER_WEEKS * 7);
  const weeks = calendarWeeks(calendar, from, daysBetween(from, to) / 7 + 1, since);
  const lengthOf = await lengthsOfVisits(sql, calendar);
  const { minutes, places, because } = lengthOf(kind, top);
  const around = (
    await bookedVisits(sql, calendar, lengthOf, daysAround(from).from, daysAround(to).to)
  ).filter(({ id }) => id !== movedId);
  const start = from < since ? since : from;
  const booked = around.filter(({ on }) => (on ?? '') >= start);
  const byWeek = grouped(booked, ({ on }) => mondayOf(on ?? today));
  const room = weeks.map((week) =>
    roomForVisit(calendar, week, byWeek.get(week.monday) ?? [], places),
  );
  const offer = await openOfferOf(sql, organisationId, topId, kind);
  const offered = offer === null ? [] : (JSON.parse(offer.weeks) as string[]);
  const free = weeks.filter((week, i) => offered.includes(week.id) && (room[i] ?? 0) >= places);
  const ids = free.length > 0 ? free.map(({ id }) => id) : null;
  const visit = { places, earliest, latest, planned: null };
  const shown = ids ?? weeksToOffer(visit, weeks, room, bench.weeksOffered);
  const chosen = weeks.filter(({ id }) => shown.includes(id));
  return {
    topId,
    carId: top.carId,
    ownerId: top.ownerId,
    kind,
    dueOn,
    offeredAt: ids === null ? null : (offer?.offeredAt ?? null),
    minutes,
    places,
    weeks: weeks.flatMap(({ id, monday, openDays }, i) =>
      shown.includes(id) ? [{ id, monday, openDays, roomPlaces: room[i] ?? 0 }] : [],
    ),
    days: daysToChoose(calendar, chosen, around, places),
    because: [because, ...calendarInWords(calendar)],
  };
}

/** When a visit of a kind falls due; a look that none asks for is taken from today. */
function windowOf(top: DiaryTopRow, kind: OfferedKind, calendar: DiaryCalendar) {
  if (kind === 'lubrication') return { dueOn: top.dueOn, ...dueWindow(top.dueOn, calendar) };
  const { today, look } = calendar;
  const due = lookDue({ since: top.lookAfterOn, oilDueOn: top.dueOn, today }, look);
  const { dueOn, windowFrom, windowTo } = due ?? {
    dueOn: today,
    windowFrom: today,
    windowTo: addDays(today, look.windowAfterDays),
  };
  return { dueOn, earliest: isoWeekOf(windowFrom).id, latest: isoWeekOf(windowTo).id };
}
