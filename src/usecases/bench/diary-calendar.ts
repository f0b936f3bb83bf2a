import { BENCH_FIGURES } from '../../domain/bench/bench-figures.ts';
import type { OpenWeek } from '../../domain/bench/weeks.ts';
import { openWeeks } from '../../domain/bench/weeks.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { ClockTime, OpenHours } from '../../domain/bench/visit-times.ts';
import { minutesBetween, USUAL_HOURS } from '../../domain/bench/visit-times.ts';
import { firstDayToOffer } from '../../domain/bench/working-days.ts';
import { addDays, isoWeekOf, weekdayOf, yearOf } from '../../domain/calendar/day.ts';
import type { OrganisationKind } from '../../domain/organisation-kind.ts';
import { letsOwnersBook } from '../../domain/organisation-kind.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { clockTimeIn, dayIn } from '../../domain/calendar/zone.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { notFound } from '../../domain/refusal.ts';
import type { DiaryRow } from '../../store/diary/diary-rows.ts';
import { closuresOf, diaryOf } from '../../store/diary/diary-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { flag } from '../../store/database/sql.ts';
import { ownFiguresFrom } from '../figures/shop-rules.ts';
import type { HolidayPlace, PublicHoliday } from './public-holidays.ts';
import { publicHolidays } from './public-holidays.ts';

/** Days on which the shop stays shut though it would be open; both ends included. */
export interface ClosureRecord {
  readonly from: Day;
  readonly to: Day;
  readonly words: string;
}

/** A day off by law, as the diary shows it: a closure that nobody had to write down. */
export type HolidayRecord = PublicHoliday;

/** When an organisation's bench is manned, with the numbers that its diary goes by. */
export interface DiaryCalendar {
  readonly organisationId: string;
  /** When it was asked for. */
  readonly now: Instant;
  /** In the organisation's own zone. */
  readonly today: Day;
  /** Open weekdays, 1 for Monday to 7 for Sunday. */
  readonly weekdays: number[];
  /** Opening hours by weekday; the usual ones where a weekday is not named. */
  readonly hours: Readonly<Record<string, OpenHours>>;
  /** All days that are shut: what the organisation wrote down, and the holidays of its place. */
  readonly closures: ClosureRecord[];
  /** Of these, what it wrote down itself. */
  readonly ownClosures: ClosureRecord[];
  readonly holidays: HolidayRecord[];
  readonly place: HolidayPlace | null;
  /** Whether owners may choose days by themselves. */
  readonly takesBookings: boolean;
  /** What it has said about that; null is what is usual for its kind. */
  readonly ownBookings: boolean | null;
  readonly timeZone: string;
  /** By the clock of its zone. */
  readonly clock: ClockTime;
  readonly bench: ReturnType<typeof figuresFor<'bench'>>;
  readonly due: ReturnType<typeof figuresFor<'due'>>;
  readonly look: ReturnType<typeof figuresFor<'look'>>;
  /** Rises with every change of opening days, closures or shop rules. */
  readonly version: number;
}

/** Monday to Friday, until an organisation says otherwise: a shop rule. */
const USUAL_WEEKDAYS = [1, 2, 3, 4, 5];

/** How far ahead the diary looks at most: a year and what a busy shop has beyond it. */
export const MOST_WEEKS_AHEAD = 104;

export async function diaryCalendar(
  sql: Sql,
  organisationId: string,
  now: Instant,
): Promise<DiaryCalendar> {
  const row = await diaryOf(sql, organisationId);
  if (row === null) throw notFound('organisation');
  const own = ownFiguresFrom(row.ownRules);
  const { timeZone } = row;
  const today = dayIn(timeZone, now);
  const place = placeOf(row);
  const ownBookings = row.takesBookings === null ? null : flag(row.takesBookings);
  const holidays = place === null ? [] : await publicHolidays(place, yearsAround(today));
  const ownClosures = (await closuresOf(sql, organisationId)).map(({ fromOn, untilOn, words }) => ({
    from: fromOn,
    to: untilOn,
    words,
  }));
  return {
    organisationId,
    now,
    today,
    clock: clockTimeOf({ timeZone }, now),
    timeZone,
    weekdays: row.weekdays === null ? USUAL_WEEKDAYS : (JSON.parse(row.weekdays) as number[]),
    hours: JSON.parse(row.hours ?? '{}') as DiaryCalendar['hours'],
    closures: [
      ...ownClosures,
      ...holidays.map(({ on, words }) => ({ from: on, to: on, words })),
    ].sort((a, b) => (a.from < b.from ? -1 : 1)),
    ownClosures,
    holidays,
    place,
    takesBookings: letsOwnersBook(row.kind as OrganisationKind, ownBookings),
    ownBookings,
    bench: figuresFor('bench', own),
    due: figuresFor('due', own),
    look: figuresFor('look', own),
    version: (row.diaryVersion ?? 1) + row.organisationVersion - 1,
  };
}

function placeOf({ country, state, region }: DiaryRow): HolidayPlace | null {
  return country === null ? null : { country, state, region };
}

// As far as the diary goes ahead, and the year that a look back meets.
function yearsAround(today: Day): number[] {
  return [-1, 0, 1, 2, 3].map((n) => yearOf(today) + n);
}

/** What the shop's clock shows at an instant. */
export function clockTimeOf(
  { timeZone }: Pick<DiaryCalendar, 'timeZone'>,
  instant: Instant,
): ClockTime {
  return clockTimeIn(timeZone, instant);
}

/** The opening hours of a day, whether or not it is open. */
export function hoursOf({ hours }: Pick<DiaryCalendar, 'hours'>, day: Day): OpenHours {
  return hours[String(weekdayOf(day))] ?? USUAL_HOURS;
}

/** Today, or tomorrow where today is nearly over. */
export function firstUsableDay(calendar: DiaryCalendar): Day {
  const { today, clock, bench } = calendar;
  const left = minutesBetween(clock, hoursOf(calendar, today).to);
  return left < bench.leastLeftMinutes ? addDays(today, 1) : today;
}

/** The first day that owners may choose, by the shop's lead; null where it stays shut. */
export function firstDayForOwners(calendar: DiaryCalendar): Day | null {
  const day = firstDayToOffer(calendar.today, calendar.bench.leadDays, calendar);
  const usable = firstUsableDay(calendar);
  return day === null || day >= usable ? day : usable;
}

/** A week of the bench with what keeps it shut. */
export interface CalendarWeek extends OpenWeek {
  readonly openDays: Day[];
  readonly closures: ClosureRecord[];
}

/** The Monday of a day's week. */
export function mondayOf(day: Day): Day {
  return addDays(day, 1 - weekdayOf(day));
}

/**
 * So many weeks from the one that holds `from`. Days before `since` (today, or tomorrow where today is
 * nearly over) do not count as open in weeks that are not over, since nothing can be put there any
 * more; weeks that are over stand as they were.
 */
export function calendarWeeks(
  calendar: DiaryCalendar,
  from: Day,
  count: number,
  since: Day = firstUsableDay(calendar),
): CalendarWeek[] {
  const { today, closures, bench } = calendar;
  const first = mondayOf(from);
  return Array.from({ length: count }, (_, n) => {
    const monday = addDays(first, n * 7);
    const sunday = addDays(monday, 6);
    const start = sunday < today || monday >= since ? monday : since;
    const open = start > sunday ? null : openWeeks(start, 1, calendar, bench);
    const [week = null] = open === null || 'refused' in open ? [] : open.weeks;
    return {
      id: isoWeekOf(monday).id,
      monday,
      openDays: [...(week?.openDays ?? [])],
      minutes: week?.minutes ?? 0,
      capacity: week?.capacity ?? 0,
      closures: closures.filter((closure) => closure.from <= sunday && closure.to >= monday),
    };
  });
}

/** The shop rules by which the weeks are measured, one line each. */
export function calendarInWords({ bench }: DiaryCalendar): string[] {
  const { minutesPerDay, slackSummerPct, slackElsePct } = bench;
  return [
    `shop rule: ${minutesPerDay} min of bench on an open day`,
    `shop rule: ${slackSummerPct} % of it kept free from May to August, ${slackElsePct} % else`,
    `shop rule: ${bench.weeksOffered} weeks offered to an owner`,
    `shop rule: owners choose at least ${bench.leadDays} working days ahead`,
  ];
}

/** Names of the bench figures that measure the weeks. */
export const DIARY_RULES = [
  'minutesPerDay',
  'slackSummerPct',
  'slackElsePct',
  'leadDays',
  'changeDays',
] as const;
export type DiaryRule = (typeof DIARY_RULES)[number];

export interface DiaryRuleRecord {
  readonly name: DiaryRule;
  readonly value: number;
  readonly usual: number;
  readonly unit: string;
  readonly mark: string;
  readonly source: string;
  readonly min: number;
  readonly max: number;
}

export function diaryRules({ bench }: DiaryCalendar): DiaryRuleRecord[] {
  return DIARY_RULES.map((name) => {
    const { value, unit, mark, source, min, max } = BENCH_FIGURES[name];
    return { name, value: bench[name], usual: value, unit, mark, source, min, max };
  });
}
