import { planBench } from '../../domain/bench/plan.ts';
import { openWeeks } from '../../domain/bench/weeks.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { invalid, Refused } from '../../domain/refusal.ts';
import { lockDiary } from '../../store/diary/diary-rows.ts';
import type { OfferRow } from '../../store/diary/offer-rows.ts';
import {
  addOffers,
  lockOfferedCars,
  openOffers,
  withdrawOffers,
} from '../../store/diary/offer-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { Caller, Context } from '../context/context.ts';
import { othersFirst, portions } from '../context/turns.ts';
import type { DiaryCalendar } from '../bench/diary-calendar.ts';
import {
  calendarWeeks,
  diaryCalendar,
  firstDayForOwners,
  mondayOf,
} from '../bench/diary-calendar.ts';
import { benchVisits, benchWeeks } from '../bench/diary-jams.ts';
import { choicesFor, offersToStore } from './diary-offers.ts';
import type { PlanRecord } from './diary-plan-record.ts';
import { planRecord } from './diary-plan-record.ts';
import type { Expected } from '../bench/diary-visits.ts';
import { stayingOf } from '../own/read-staying.ts';
import {
  bookedVisits,
  expectedId,
  expectedVisits,
  lengthsOfVisits,
} from '../bench/diary-visits.ts';
import { requireNear } from '../bench/diary-weeks.ts';
import { writeVisitOffered } from '../bench/offer-letters.ts';

export interface PlanAsked {
  readonly from?: Day | undefined;
  readonly weeks: number;
  /** Stores the offers; without it nothing is written. */
  readonly apply: boolean;
}

/**
 * Plans the visits that fall due into weeks: most in their due window, then the least late, then the
 * fewest changes to weeks already offered. Booked visits stay where they are. Applied, it stores for
 * each top the weeks that its owner may choose from, with the letters that tell them; an offer that
 * still holds stays as it was. Refused where the shop is not open on any day of these weeks.
 */
export async function planDiary(
  context: Context,
  caller: Caller,
  asked: PlanAsked,
): Promise<PlanRecord> {
  const now = context.now();
  const { organisationId } = caller;
  if (!asked.apply) return (await draw(context.store.sql, organisationId, now, asked)).record;
  return context.store.writeSql(async (sql) => {
    await lockDiary(sql, organisationId);
    const { record, fresh, ended } = await draw(sql, organisationId, now, asked);
    await withdrawOffers(sql, ended, now);
    await addOffers(sql, organisationId, fresh);
    await lockOfferedCars(sql, organisationId);
    await writeVisitOffered(context, sql, organisationId, now);
    return record;
  });
}

interface Drawn {
  readonly record: PlanRecord;
  readonly fresh: OfferRow[];
  /** Ids of offers that do not hold any more. */
  readonly ended: string[];
}

async function draw(
  sql: Sql,
  organisationId: string,
  now: Instant,
  asked: PlanAsked,
): Promise<Drawn> {
  const calendar = await diaryCalendar(sql, organisationId, now);
  const from = startOf(calendar, asked);
  // Nobody is offered a day that is nearer than the shop's lead; what is booked until then is settled.
  const since = firstDayForOwners(calendar) ?? addDays(calendar.today, asked.weeks * 7);
  const weeks = calendarWeeks(calendar, from, asked.weeks, since);
  const last = addDays(mondayOf(from), asked.weeks * 7 - 1);
  const lengthOf = await lengthsOfVisits(sql, calendar);
  await othersFirst();
  const first = from < since ? since : from;
  const booked = await bookedVisits(sql, calendar, lengthOf, first, last);
  await othersFirst();
  const all = await expectedVisits(sql, calendar, lengthOf, last);
  const expected = withoutStaying(all, await stayingTops(sql, organisationId, all, now));
  const standing = await openOffers(sql, organisationId);
  await othersFirst();
  const offers = new Map(standing.map((offer) => [expectedId(offer), offer]));
  const firstWeek = weeks[0]?.id ?? '';
  // A plan of later weeks leaves alone what belongs, or was offered, before they begin.
  const planned = expected.visits.filter(
    ({ id, latest }) =>
      from <= calendar.today ||
      (latest >= firstWeek && (offers.get(id)?.week ?? firstWeek) >= firstWeek),
  );
  const visits = [...booked, ...planned];
  const offered = new Map([...offers].map(([id, { week }]) => [id, week]));
  const plan = planBench({ weeks: benchWeeks(weeks), visits: benchVisits(visits, offered) });
  await othersFirst();
  const choices = choicesFor(plan, visits, weeks, offers, calendar.bench.weeksOffered);
  const { fresh, ended } = offersToStore(choices, {
    expected: expected.visits,
    planned,
    offers: standing,
    calendar,
    last,
    now,
  });
  await othersFirst();
  const kept = [...choices.values()].filter((choice) => choice.standing !== null).length;
  const record = planRecord({
    calendar,
    from,
    weeks,
    plan,
    visits,
    choices,
    leftToCalls: expected.leftToCalls,
    notWritten: countOwners(planned.filter(({ unwritable }) => unwritable === true)),
    applied: asked.apply,
    offers: { made: fresh.length, ended: ended.length, kept },
  });
  return { record, fresh, ended };
}

function countOwners(visits: Expected['visits']): number {
  return new Set(visits.map(({ top }) => top.ownerId)).size;
}

const CARS_AT_ONCE = 200;

/** The tops among those expected that must not be moved. */
async function stayingTops(
  sql: Sql,
  organisationId: string,
  { visits }: Expected,
  now: Instant,
): Promise<ReadonlySet<string>> {
  const carIds = [...new Set(visits.map(({ top }) => top.carId))];
  const staying = new Set<string>();
  for await (const some of portions(carIds, CARS_AT_ONCE)) {
    for (const { topId } of await stayingOf(sql, organisationId, some, now)) staying.add(topId);
  }
  return staying;
}

/** A top that must not be moved wants a repair and a call about it, and no choice of weeks for oil. */
function withoutStaying(expected: Expected, stays: ReadonlySet<string>): Expected {
  const visits = expected.visits.filter(({ top }) => !stays.has(top.topId));
  const left = new Set(expected.visits.map(({ top }) => top.topId).filter((id) => stays.has(id)));
  return { visits, leftToCalls: expected.leftToCalls + left.size };
}

/** The day on which a plan begins: today, or the Monday of a later week. */
function startOf(calendar: DiaryCalendar, asked: PlanAsked): Day {
  const { today } = calendar;
  const day = asked.from ?? today;
  if (day < today) {
    throw invalid('#/from', `This day is over: today is ${today}. Plan from today or later.`);
  }
  requireNear('#/from', day, today);
  const monday = mondayOf(day);
  const from = monday < today ? today : monday;
  const open = openWeeks(from, asked.weeks, calendar, calendar.bench);
  if ('refused' in open) throw new Refused({ kind: 'conflict', detail: open.sentence });
  return from;
}
