import { BENCH_FIGURES } from '../../domain/bench/bench-figures.ts';
import type { OpenWeek } from '../../domain/bench/weeks.ts';
import { openWeeks } from '../../domain/bench/weeks.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays, isoWeekOf, weekdayOf } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { notFound } from '../../domain/refusal.ts';
import { closuresOf, diaryOf } from '../../store/diary/diary-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { ownFiguresFrom } from '../figures/shop-rules.ts';

/** Days on which the shop stays shut though it would be open; both ends included. */
export interface ClosureRecord {
  readonly from: Day;
  readonly to: Day;
  readonly words: string;
}

/** When an organisation's bench is manned, with the numbers that its diary goes by. */
export interface DiaryCalendar {
  readonly organisationId: string;
  /** In the organisation's own zone. */
  readonly today: Day;
  /** Open weekdays, 1 for Monday to 7 for Sunday. */
  readonly weekdays: number[];
  readonly closures: ClosureRecord[];
  readonly bench: ReturnType<typeof figuresFor<'bench'>>;
  readonly due: ReturnType<typeof figuresFor<'due'>>;
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
  const closures = await closuresOf(sql, organisationId);
  const own = ownFiguresFrom(row.ownRules);
  return {
    organisationId,
    today: dayIn(row.timeZone, now),
    weekdays: row.weekdays === null ? USUAL_WEEKDAYS : (JSON.parse(row.weekdays) as number[]),
    closures: closures.map(({ fromOn, untilOn, words }) => ({ from: fromOn, to: untilOn, words })),
    bench: figuresFor('bench', own),
    due: figuresFor('due', own),
    version: (row.diaryVersion ?? 1) + row.organisationVersion - 1,
  };
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
 * So many weeks from the one that holds `from`. Days that are over do not count as open in the week
 * that runs, since nothing can be put there any more; weeks that are over stand as they were.
 */
export function calendarWeeks(calendar: DiaryCalendar, from: Day, count: number): CalendarWeek[] {
  const { today, closures, bench } = calendar;
  const first = mondayOf(from);
  return Array.from({ length: count }, (_, n) => {
    const monday = addDays(first, n * 7);
    const sunday = addDays(monday, 6);
    const start = monday < today && today <= sunday ? today : monday;
    const open = openWeeks(start, 1, calendar, bench);
    const [week = null] = 'refused' in open ? [] : open.weeks;
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
  ];
}

/** Names of the bench figures that measure the weeks. */
export const DIARY_RULES = ['minutesPerDay', 'slackSummerPct', 'slackElsePct'] as const;
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
