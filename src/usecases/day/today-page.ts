import type { Day } from '../../domain/calendar/day.ts';
import { addDays } from '../../domain/calendar/day.ts';
import { isOpenOn } from '../../domain/bench/working-days.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { addHours } from '../../domain/calendar/instant.ts';
import type { CarAndOwnerRow } from '../../store/cars/kept-rows.ts';
import { carsAndOwners, keptNearLimit } from '../../store/cars/kept-rows.ts';
import type { FaultyLetterRow, UnsaidReportRow } from '../../store/cars/today-rows.ts';
import {
  faultyLettersSince,
  letterCountsSince,
  unsaidReportsSince,
} from '../../store/cars/today-rows.ts';
import { ownersSetAside } from '../../store/letters/round-fault-rows.ts';
import type { DiaryVisit } from '../bench/diary-visits.ts';
import { bookedVisits } from '../bench/diary-visits.ts';
import type { PositionRecord } from '../cars/read-position.ts';
import { showPosition } from '../cars/read-position.ts';
import type { Caller, Context } from '../context/context.ts';
import { othersFirst } from '../context/turns.ts';
import type { Kept } from '../kept/keep-cars.ts';
import { bringUpToDate } from '../kept/keep-cars.ts';
import { showOrganisation } from '../organisations/organisations.ts';
import type { StayingRecord } from '../own/read-staying.ts';
import type { StandingRecord } from '../owners/read-standing.ts';
import { readStanding } from '../owners/read-standing.ts';
import type { LookRecord } from '../tops/read-looks.ts';
import { flag } from '../../store/database/sql.ts';
import { KEPT_IN_TRAY } from '../../mail/tray.ts';
import type { LetterState } from '../letters/read-letters.ts';
import { listLooks } from '../tops/read-looks.ts';
import type { DueRecord } from '../tops/read-tops.ts';
import { listDue } from '../tops/read-tops.ts';
import type { AheadRecord } from './keep-ahead.ts';
import { readAhead } from './keep-ahead.ts';
import type { OwnerNewsRecord } from './owner-news.ts';
import { readOwnerNews } from './owner-news.ts';
import type { CallRecord } from './read-calls.ts';
import { callsWorth, keptToStay, waitsForCall } from './read-calls.ts';

export interface FoldedCarRecord extends CarAndOwnerRow {
  readonly clock: PositionRecord;
}

/** What stands on the bench on a day. */
export interface BenchDayRecord {
  readonly on: Day;
  readonly visits: DiaryVisit[];
}

/** A letter that met a fault on its way. */
export interface FaultyLetter extends FaultyLetterRow {
  readonly state: LetterState;
}

export interface TodayRecord {
  readonly now: Instant;
  readonly today: Day;
  readonly organisation: { readonly name: string; readonly timeZone: string };
  /** Cars whose tops must not be moved; those first for which no repair is booked. */
  readonly staying: StayingRecord[];
  /** Whom else to ring, what saves most a minute first. */
  readonly calls: { readonly items: CallRecord[]; readonly inAll: number };
  /** Owners choose their days, and nobody has told the place whose holidays are to be left out. */
  readonly lacksPlace: boolean;
  /** Today and the next day that is open. */
  readonly bench: BenchDayRecord[];
  /** Tops whose due window has begun or is over, the longest waiting first. */
  readonly due: DueRecord[];
  /** Tops whose joints are due for a second look, the soonest first. */
  readonly looks: LookRecord[];
  /** Cars that are near their folded limit or past it, the longest past first. */
  readonly folded: FoldedCarRecord[];
  /** Parts to order and weeks that are too full, and when that was reckoned. */
  readonly ahead: AheadRecord;
  readonly letters: {
    readonly days: number;
    /** How many stand how; `inTray` are those that count as sent and reached nobody. */
    readonly states: { state: LetterState; inTray: boolean; n: number }[];
    readonly faults: FaultyLetter[];
    /** Reports that were to put right one that had left, and were cancelled for good. */
    readonly unsaid: UnsaidReportRow[];
    /** Owners about whom the round could decide nothing, and why. */
    readonly setAside: { readonly name: string; readonly at: Instant; readonly reason: string }[];
  };
  readonly standing: StandingRecord;
  /** What owners did by their links in the last days. */
  readonly news: OwnerNewsRecord[];
}

const CALLS_SHOWN = 3;
const DUE_SHOWN = 12;
const LETTER_DAYS = 7;
const FAULTS_SHOWN = 30;
const OWNERS_SHOWN = 50;
// No shop is shut for longer without saying so on its bench page.
const DAYS_TO_THE_NEXT = 31;

/**
 * What a shop has to know in the morning, from the same answers that the API gives. What would have to be
 * looked for in all cars is kept with each of them, so this costs by what is shown.
 */
export async function readToday(context: Context, caller: Caller): Promise<TodayRecord> {
  const { sql } = context.store;
  const { organisationId } = caller;
  const kept = await bringUpToDate(context, organisationId);
  await othersFirst();
  const { calendar } = kept;
  const { now, today, due: window } = calendar;
  const { name, timeZone } = await showOrganisation(context, caller);
  const until = addDays(today, window.windowBeforeDays);
  const due = await listDue(context, caller, { until, limit: DUE_SHOWN });
  const since = addHours(now, -LETTER_DAYS * 24);
  const staying = await keptToStay(context, kept);
  const stays = new Set(staying.map(({ carId }) => carId));
  const { items, inAll } = await callsWorth(context, kept, { limit: CALLS_SHOWN });
  return {
    now,
    today,
    organisation: { name, timeZone },
    staying,
    // As many as the page of all calls has lines: with those whose top must stay and who may be rung.
    calls: { items, inAll: inAll + staying.filter(waitsForCall).length },
    lacksPlace: calendar.takesBookings && calendar.place === null,
    bench: await benchDays(context, kept),
    due: due.items,
    looks: (await listLooks(context, caller, { until: today, limit: DUE_SHOWN })).items,
    folded: (await foldedTooLong(context, caller, kept)).filter(({ carId }) => !stays.has(carId)),
    ahead: await readAhead(context, caller, kept),
    letters: {
      days: LETTER_DAYS,
      states: (await letterCountsSince(sql, organisationId, since, KEPT_IN_TRAY)).map(
        ({ state, isKept, n }) => ({ state: state as LetterState, inTray: flag(isKept), n }),
      ),
      faults: (await faultyLettersSince(sql, organisationId, since, FAULTS_SHOWN)).map(
        (letter) => ({
          ...letter,
          state: letter.state as LetterState,
        }),
      ),
      unsaid: await unsaidReportsSince(sql, organisationId, since, FAULTS_SHOWN),
      setAside: await ownersSetAside(sql, organisationId, FAULTS_SHOWN),
    },
    standing: await readStanding(context, caller, { limit: OWNERS_SHOWN }),
    news: await readOwnerNews(context, caller),
  };
}

async function benchDays({ store }: Context, kept: Kept): Promise<BenchDayRecord[]> {
  const { calendar, learned } = kept;
  const { today } = calendar;
  let next = addDays(today, 1);
  while (!isOpenOn(next, calendar) && next < addDays(today, DAYS_TO_THE_NEXT)) {
    next = addDays(next, 1);
  }
  const booked = await bookedVisits(store.sql, calendar, learned.lengthOf, today, next);
  const time = ({ dropOff }: DiaryVisit) => dropOff ?? '24:00';
  return [today, next].map((on) => ({
    on,
    // What was booked for a day that is shut meanwhile stands before the day that is open again.
    visits: booked
      .filter((visit) => (on === today ? visit.on === today : visit.on !== today))
      .sort((a, b) => (time(a) < time(b) ? -1 : 1)),
  }));
}

async function foldedTooLong(
  context: Context,
  caller: Caller,
  { calendar, unkept }: Kept,
): Promise<FoldedCarRecord[]> {
  const { now } = calendar;
  const known = new Set(unkept.map(({ carId }) => carId));
  const ids = await keptNearLimit(context.store.sql, caller.organisationId, now);
  const near = [
    ...ids.filter((id) => !known.has(id)),
    ...unkept.flatMap(({ carId, nearingAt }) =>
      nearingAt !== null && nearingAt <= now ? [carId] : [],
    ),
  ];
  const cars = near.length === 0 ? [] : await carsAndOwners(context.store.sql, near);
  const records = await Promise.all(
    cars.map(async (car) => {
      const clock = await showPosition(context, caller, car.carId, now);
      return { ...car, clock };
    }),
  );
  const overAt = ({ clock }: FoldedCarRecord) => clock.stretch?.overAt ?? '9';
  return (
    records
      // What was put up meanwhile rests, and asks nobody for anything.
      .filter(({ clock }) => clock.position === 'folded' && clock.stretch?.state !== 'within')
      .sort((a, b) => (overAt(a) < overAt(b) ? -1 : 1))
  );
}
