import { storeWeekdays } from '../../store/diary/diary-rows.ts';
import { storeOwnRules } from '../../store/organisations/figure-rows.ts';
import { BENCH_FIGURES } from '../../domain/bench/bench-figures.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { ownFigureProblem } from '../../domain/figure-tables/figure-tables.ts';
import type { Fault } from '../../domain/refusal.ts';
import { pointerTo, Refused } from '../../domain/refusal.ts';
import { holdRules, lockDiary, replaceClosures } from '../../store/diary/diary-rows.ts';
import type { Sql } from '../../store/database/sql.ts';

import type { Caller, Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import type {
  ClosureRecord,
  DiaryCalendar,
  DiaryRule,
  DiaryRuleRecord,
} from '../bench/diary-calendar.ts';
import { DIARY_RULES, diaryCalendar, diaryRules } from '../bench/diary-calendar.ts';
import { ownFiguresFrom } from '../figures/shop-rules.ts';
import { requireVersion } from '../context/version.ts';

export interface DiarySettingsRecord {
  readonly weekdays: number[];
  readonly closures: ClosureRecord[];
  readonly shopRules: DiaryRuleRecord[];
  readonly version: number;
}

/** What is left out stays as it is; null sets a shop rule back to its usual value. */
export interface DiaryChange {
  readonly weekdays?: readonly number[] | undefined;
  readonly closures?:
    | readonly { readonly from: Day; readonly to?: Day | undefined; readonly words: string }[]
    | undefined;
  readonly shopRules?: Partial<Record<DiaryRule, number | null>> | undefined;
}

/** When the bench is manned: opening days, closures, minutes of a day, slack by month. */
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
  const faults = [...weekdayFaults(change), ...closureFaults(change), ...ruleFaults(change)];
  if (faults.length > 0) throw new Refused({ kind: 'invalid', faults });
  const { organisationId } = caller;
  const now = context.now();
  return context.store.writeSql(async (sql) => {
    await lockDiary(sql, organisationId);
    const before = await diaryCalendar(sql, organisationId, now);
    requireVersion(version, before.version);
    const weekdays = [...new Set(change.weekdays ?? before.weekdays)].sort((a, b) => a - b);
    await storeWeekdays(sql, organisationId, weekdays);
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
  const { weekdays, closures, version } = calendar;
  return { weekdays, closures, shopRules: diaryRules(calendar), version };
}

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
