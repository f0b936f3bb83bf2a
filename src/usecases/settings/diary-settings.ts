import { storeOwnRules } from '../../store/organisations/figure-rows.ts';
import { BENCH_FIGURES } from '../../domain/bench/bench-figures.ts';
import type { OpenHours } from '../../domain/bench/visit-times.ts';
import { USUAL_HOURS } from '../../domain/bench/visit-times.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { ownFigureProblem } from '../../domain/figure-tables/figure-tables.ts';
import type { Fault } from '../../domain/refusal.ts';
import { pointerTo, Refused } from '../../domain/refusal.ts';
import {
  holdRules,
  lockDiary,
  replaceClosures,
  storeOpening,
} from '../../store/diary/diary-rows.ts';
import type { Sql } from '../../store/database/sql.ts';

import type { Caller, Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import type {
  ClosureRecord,
  DiaryCalendar,
  DiaryRule,
  DiaryRuleRecord,
  HolidayRecord,
} from '../bench/diary-calendar.ts';
import { DIARY_RULES, diaryCalendar, diaryRules } from '../bench/diary-calendar.ts';
import type { HolidayPlace, PlaceNames } from '../bench/public-holidays.ts';
import { holidayPlaces } from '../bench/public-holidays.ts';
import { ownFiguresFrom } from '../figures/shop-rules.ts';
import { requireVersion } from '../context/version.ts';

export interface DiarySettingsRecord {
  readonly weekdays: number[];
  /** Opening hours of each weekday, the usual ones where the organisation named none. */
  readonly hours: Readonly<Record<string, OpenHours>>;
  readonly closures: ClosureRecord[];
  /** The place whose public holidays are kept, and those of the coming twelve months. */
  readonly place: HolidayPlace | null;
  readonly holidays: HolidayRecord[];
  readonly takesBookings: boolean;
  readonly shopRules: DiaryRuleRecord[];
  readonly version: number;
}

/** What is left out stays as it is; null sets a shop rule back to its usual value. */
export interface DiaryChange {
  readonly weekdays?: readonly number[] | undefined;
  readonly hours?: Readonly<Record<string, OpenHours>> | undefined;
  /** Null keeps no public holidays. */
  readonly place?:
    | {
        readonly country: string;
        readonly state?: string | null | undefined;
        readonly region?: string | null | undefined;
      }
    | null
    | undefined;
  /** Null is what is usual for the kind of organisation. */
  readonly takesBookings?: boolean | null | undefined;
  readonly closures?:
    | readonly { readonly from: Day; readonly to?: Day | undefined; readonly words: string }[]
    | undefined;
  readonly shopRules?: Partial<Record<DiaryRule, number | null>> | undefined;
}

/** When the bench is manned: opening days and hours, closures and holidays, minutes, slack, leads. */
export async function showDiarySettings(
  context: Context,
  caller: Caller,
): Promise<DiarySettingsRecord> {
  return settingsRecord(
    await diaryCalendar(context.store.sql, caller.organisationId, context.now()),
  );
}

/**
 * Changes when the bench is manned. Visits that are booked stay where they are, on days that are
 * now shut too: the diary shows those weeks as overbooked.
 */
export async function changeDiarySettings(
  context: Context,
  caller: Caller,
  change: DiaryChange,
  version: number | '*' | null,
): Promise<DiarySettingsRecord> {
  const faults = [
    ...weekdayFaults(change),
    ...hourFaults(change),
    ...closureFaults(change),
    ...(await placeFaults(change)),
    ...ruleFaults(change),
  ];
  if (faults.length > 0) throw new Refused({ kind: 'invalid', faults });
  const { organisationId } = caller;
  const now = context.now();
  return context.store.writeSql(async (sql) => {
    await lockDiary(sql, organisationId);
    const before = await diaryCalendar(sql, organisationId, now);
    requireVersion(version, before.version);
    const weekdays = [...new Set(change.weekdays ?? before.weekdays)].sort((a, b) => a - b);
    const place = change.place === undefined ? before.place : change.place;
    await storeOpening(sql, organisationId, {
      weekdays,
      hours: change.hours ?? before.hours,
      country: place?.country ?? null,
      state: place?.state ?? null,
      region: place?.region ?? null,
      takesBookings: change.takesBookings === undefined ? before.ownBookings : change.takesBookings,
    });
    if (change.closures !== undefined) {
      const rows = change.closures.map(({ from, to = from, words }) => ({
        id: newId(),
        fromOn: from,
        untilOn: to,
        words,
      }));
      await replaceClosures(sql, organisationId, rows);
    }
    if (change.shopRules !== undefined) await storeRules(sql, caller, change.shopRules, now);
    return settingsRecord(await diaryCalendar(sql, organisationId, now));
  });
}

function settingsRecord(calendar: DiaryCalendar): DiarySettingsRecord {
  const { weekdays, ownClosures, place, holidays, takesBookings, version, today } = calendar;
  const yearOn = addDays(today, 366);
  return {
    weekdays,
    hours: Object.fromEntries(
      WEEK.map((weekday) => [weekday, calendar.hours[weekday] ?? USUAL_HOURS]),
    ),
    closures: ownClosures,
    place,
    holidays: holidays.filter(({ on }) => on >= today && on < yearOn),
    takesBookings,
    shopRules: diaryRules(calendar),
    version,
  };
}

const WEEK = ['1', '2', '3', '4', '5', '6', '7'] as const;

/** Writes the figures that change, and keeps each step as every change of a shop rule is kept. */
async function storeRules(
  sql: Sql,
  { organisationId, keyId }: Caller,
  rules: NonNullable<DiaryChange['shopRules']>,
  changedAt: Instant,
): Promise<void> {
  const held = await holdRules(sql, organisationId);
  const own: Record<string, number> = { ...ownFiguresFrom(held?.ownRules) };
  const version = (held?.version ?? 0) + 1;
  const steps = DIARY_RULES.flatMap((name) => {
    const figure = `bench.${name}`;
    const was = own[figure] ?? null;
    const becomes = rules[name];
    if (becomes === undefined || becomes === was) return [];
    // The usual value, said where nothing else was, changes nothing.
    if (was === null && becomes === BENCH_FIGURES[name].value) return [];
    if (becomes === null) delete own[figure];
    else own[figure] = becomes;
    return [{ id: newId(), organisationId, keyId, changedAt, figure, was, becomes, version }];
  });
  if (steps.length === 0) return;
  await storeOwnRules(sql, organisationId, { ownRules: JSON.stringify(own), version }, steps);
}

function weekdayFaults({ weekdays }: DiaryChange): Fault[] {
  const wrong = weekdays?.findIndex((day) => !(Number.isInteger(day) && day >= 1 && day <= 7));
  if (wrong === undefined || wrong < 0) return [];
  return [{ pointer: `#/weekdays/${wrong}`, detail: 'Give 1 for Monday to 7 for Sunday.' }];
}

function hourFaults({ hours }: DiaryChange): Fault[] {
  return Object.entries(hours ?? {}).flatMap(([weekday, { from, to }]) =>
    from < to
      ? []
      : [{ pointer: `#/hours/${weekday}/to`, detail: `It closes before it opens at ${from}.` }],
  );
}

/** A place that is not known would quietly have no holidays. */
async function placeFaults({ place }: DiaryChange): Promise<Fault[]> {
  if (place === undefined || place === null) return [];
  const { country, state = null, region = null } = place;
  const chosen = { country, ...(state === null ? {} : { state }) };
  const { countries, states, regions } = await holidayPlaces({ ...chosen, language: 'en' });
  const has = (names: PlaceNames, code: string | null) =>
    code === null || names.some(([one]) => one === code);
  if (!has(countries, country)) {
    return [{ pointer: '#/place/country', detail: 'Give a country code, such as GB or DE.' }];
  }
  if (!has(states, state)) {
    const codes = states.map(([code]) => code).join(', ');
    const detail = codes === '' ? 'This country has no states here.' : `Give one of ${codes}.`;
    return [{ pointer: '#/place/state', detail }];
  }
  if (!has(regions, region)) {
    return [{ pointer: '#/place/region', detail: 'This state has no such region.' }];
  }
  return [];
}

function closureFaults({ closures }: DiaryChange): Fault[] {
  return (closures ?? []).flatMap(({ from, to = from }, i) =>
    to < from
      ? [{ pointer: `#/closures/${i}/to`, detail: `It ends before it begins on ${from}.` }]
      : [],
  );
}

function ruleFaults({ shopRules }: DiaryChange): Fault[] {
  return DIARY_RULES.flatMap((name) => {
    const value = shopRules?.[name];
    if (value === undefined || value === null) return [];
    const problem = ownFigureProblem(BENCH_FIGURES[name], value);
    return problem === null ? [] : [{ pointer: pointerTo(['shopRules', name]), detail: problem }];
  });
}
