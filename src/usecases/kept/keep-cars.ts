import { dayIn } from '../../domain/calendar/zone.ts';
import type { KeptCar } from '../../store/cars/kept-rows.ts';
import {
  countCars,
  countChanged,
  keepCars,
  keepLearned,
  keptOfOrganisation,
  noteChanges,
  outdatedCars,
} from '../../store/cars/kept-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { ownRulesOf } from '../../store/organisations/figure-rows.ts';
import type { DiaryCalendar } from '../bench/diary-calendar.ts';
import { diaryCalendar } from '../bench/diary-calendar.ts';
import { usualLengths } from '../bench/diary-visits.ts';
import type { Context } from '../context/context.ts';
import { outageOf } from '../context/outage.ts';
import { othersFirst, portions } from '../context/turns.ts';
import { judgeCars } from './judge-cars.ts';
import type { Learned } from './learned.ts';
import { learn, learnedFrom } from './learned.ts';

/** An organisation whose cars are all kept as they are. */
export interface Kept {
  readonly calendar: DiaryCalendar;
  readonly learned: Learned;
  /** What could not be written down, since the database takes nothing more. */
  readonly unkept: readonly KeptCar[];
}

const CARS_AT_ONCE = 50;
const OUTDATED_AT_ONCE = 2_000;

/**
 * Brings up to date what is kept of an organisation's cars, so that whoever reads it reads what is true
 * now. It costs by the cars that changed, and by those whose day is over. What all cars teach together
 * is learned anew each day, and earlier once more cars changed than `mayWait` allows. A full disk keeps
 * nobody from reading: then what was reckoned is handed over unkept. Once `signal` is given the cars in hand
 * are the last.
 */
export async function bringUpToDate(
  context: Context,
  organisationId: string,
  { signal }: { readonly signal?: AbortSignal } = {},
): Promise<Kept> {
  const { sql } = context.store;
  const calendar = await diaryCalendar(sql, organisationId, context.now());
  const at = calendar.now;
  const changed = await countChanged(sql, organisationId);
  const { learned, learnedNo, isNew } = await learnedNow(context, calendar, changed);
  const unkept: KeptCar[] = [];
  const seen = new Map<string, boolean>();
  const isOver = () => signal?.aborted === true;
  while (!isOver()) {
    // What cannot be kept comes again and again, and so does what somebody is changing at this moment.
    const limit = OUTDATED_AT_ONCE + seen.size;
    const outdated = await outdatedCars(sql, organisationId, { at, learnedNo, limit });
    const news = outdated.filter(({ carId }) => !seen.has(carId));
    if (news.length === 0) break;
    for await (const some of portions(news, CARS_AT_ONCE)) {
      const judged = await judgeCars(sql, organisationId, some, { learned, now: at });
      const isKept = await written(context, (tx) => keepCars(tx, judged, { at, learnedNo }));
      if (!isKept) unkept.push(...judged);
      for (const { carId, goodUntil } of some) seen.set(carId, goodUntil === '');
      if (isOver()) break;
    }
    await othersFirst();
  }
  const hadChanged = [...seen.values()].filter(Boolean).length;
  if (hadChanged > 0) {
    const sinceLearned = isNew ? Math.max(0, hadChanged - changed) : hadChanged;
    const since = { sinceLearned, sinceAhead: hadChanged };
    await written(context, (tx) => noteChanges(tx, organisationId, since));
  }
  return { calendar, learned, unkept };
}

/** Whether it could be written down; anything but an outage is thrown. */
async function written({ store }: Context, work: (sql: Sql) => Promise<void>): Promise<boolean> {
  try {
    await store.writeSql(work);
    return true;
  } catch (fault) {
    if (outageOf(fault) === null) throw fault;
    return false;
  }
}

/**
 * Whether what is reckoned of all cars together may still stand after some of them changed: one in two
 * hundred moves no chance that anybody could tell. Of fewer cars every change counts.
 */
export async function mayWait(sql: Sql, organisationId: string, changed: number): Promise<boolean> {
  return changed === 0 || changed <= (await countCars(sql, organisationId)) / 200;
}

async function learnedNow(
  context: Context,
  calendar: DiaryCalendar,
  changed: number,
): Promise<{ learned: Learned; learnedNo: number; isNew: boolean }> {
  const { store } = context;
  const { organisationId, today, timeZone, now } = calendar;
  const kept = await keptOfOrganisation(store.sql, organisationId);
  const usual = usualLengths(calendar);
  if (kept !== null && kept.learned !== '') {
    const learned = learnedFrom(kept.learned, usual);
    const isOfToday = kept.learnedAt <= now && dayIn(timeZone, kept.learnedAt) === today;
    const isOfThese =
      learned.timeZone === timeZone &&
      learned.ownRules === (await ownRulesOf(store.sql, organisationId));
    const waits = () => mayWait(store.sql, organisationId, kept.learnedChanges + changed);
    if (isOfToday && isOfThese && (await waits())) {
      return { learned, learnedNo: kept.learnedNo, isNew: false };
    }
  }
  const text = await learn(store.sql, calendar);
  const before = kept?.learnedNo ?? 0;
  const learnedNo = text === kept?.learned ? before : before + 1;
  await written(context, (sql) =>
    keepLearned(sql, organisationId, { learned: text, learnedAt: now, learnedNo, before }),
  );
  return { learned: learnedFrom(text, usual), learnedNo, isNew: true };
}
