import type { ExpectedMinutes, VisitKind } from '../../domain/bench/minutes.ts';
import { expectedMinutes, placesFor } from '../../domain/bench/minutes.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays, dueDay, isoWeekOf } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { lookDue } from '../../domain/lubrication/look-again.ts';
import type { DiaryTopRow, DiaryVisitRow } from '../../store/diary/diary-rows.ts';
import type { OfferedKind } from '../../store/diary/offer-rows.ts';
import {
  bookedBetween,
  minutesOfDoneVisits,
  topsDueBy,
  topsToLookAt,
} from '../../store/diary/diary-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { flag } from '../../store/database/sql.ts';
import type { ClockTime } from '../../domain/bench/visit-times.ts';
import type { DiaryCalendar } from './diary-calendar.ts';
import { clockTimeOf } from './diary-calendar.ts';

/** What a visit takes of the bench, and where the figure comes from. */
export type VisitLength = Pick<ExpectedMinutes, 'minutes' | 'places' | 'because'>;

/** A visit of the diary: booked for a day, or expected because its top is due. */
export interface DiaryVisit extends VisitLength {
  /** Of a booked visit its id; of an expected one the top's, with its due day. */
  readonly id: string;
  readonly top: DiaryTopRow;
  readonly kind: VisitKind;
  /** Day of a booking. */
  readonly on: Day | null;
  /** When the car is brought on it, by the shop's clock; null for "some time that day". */
  readonly dropOff?: ClockTime | null;
  /** When it can be fetched, of a booking with a time. */
  readonly readyAt?: Instant | null;
  /** Due day of the oiling or of the look that it is for, where it is one. */
  readonly dueOn: Day | null;
  /** Its owner cannot be written to, or wants no offers: somebody has to ring. */
  readonly unwritable?: boolean;
  /** First and last week of the due window; of other bookings their own week. */
  readonly earliest: string;
  readonly latest: string;
}

/** How long the next visit of a kind to a top will take, by what such visits took before. */
export type LengthOf = (
  kind: VisitKind,
  top: Pick<DiaryTopRow, 'framePattern' | 'powered'>,
) => VisitLength;

export async function lengthsOfVisits(sql: Sql, calendar: DiaryCalendar): Promise<LengthOf> {
  const done = await minutesOfDoneVisits(sql, calendar.organisationId);
  const byKind = new Map(done.map((visits) => [`${visits.kind} ${visits.framePattern}`, visits]));
  const known = new Map<string, VisitLength>();
  return (kind, { framePattern, powered: isPowered }) => {
    const powered = flag(isPowered);
    const key = `${kind} ${framePattern}`;
    const found = known.get(`${key} ${powered}`);
    if (found !== undefined) return found;
    const { minutes, places, because } = expectedMinutes(
      { kind, powered },
      byKind.get(key) ?? { visits: 0, minutes: 0 },
      calendar.bench,
    );
    const length = { minutes: Math.round(minutes), places, because };
    known.set(`${key} ${powered}`, length);
    return length;
  };
}

/** How long a visit takes as long as nothing of its kind was done: the figures alone. */
export function usualLengths(calendar: Pick<DiaryCalendar, 'bench'>): LengthOf {
  return (kind, { powered }) => {
    const about = { kind, powered: flag(powered) };
    const none = { visits: 0, minutes: 0 };
    const { minutes, places, because } = expectedMinutes(about, none, calendar.bench);
    return { minutes: Math.round(minutes), places, because };
  };
}

/** The visits booked for days of a range. Minutes agreed with the booking come before learned ones. */
export async function bookedVisits(
  sql: Sql,
  calendar: DiaryCalendar,
  lengthOf: LengthOf,
  from: Day,
  to: Day,
): Promise<DiaryVisit[]> {
  const rows = await bookedBetween(sql, calendar.organisationId, from, to);
  return rows.map((row) => {
    const week = isoWeekOf(row.on).id;
    const window = row.kind === 'lubrication' ? dueWindow(row.dueOn, calendar) : null;
    return {
      id: row.visitId,
      top: row,
      kind: row.kind,
      on: row.on,
      dropOff: row.dropOffAt === null ? null : clockTimeOf(calendar, row.dropOffAt),
      readyAt: row.readyAt,
      dueOn: window === null ? null : row.dueOn,
      earliest: window?.earliest ?? week,
      latest: window?.latest ?? week,
      ...agreedLength(row, lengthOf),
    };
  });
}

function agreedLength(row: DiaryVisitRow, lengthOf: LengthOf): VisitLength {
  if (row.minutes === null) return lengthOf(row.kind, row);
  const { minutes } = row;
  return { minutes, places: placesFor(minutes), because: `${minutes} min agreed for this visit` };
}

/** The visits to be expected up to a day, and the tops that only a call will bring back. */
export interface Expected {
  readonly visits: DiaryVisit[];
  readonly leftToCalls: number;
}

/**
 * Oilings and looks that fall due by a day and are not booked, each taken as done in time: a top whose
 * interval is short comes more than once. A top that has let a whole further interval go by is not
 * expected to come by itself; it is left to the call list.
 */
export async function expectedVisits(
  sql: Sql,
  calendar: DiaryCalendar,
  lengthOf: LengthOf,
  until: Day,
): Promise<Expected> {
  const { organisationId, today, due } = calendar;
  const lastDue = addDays(until, due.windowBeforeDays);
  const visits: DiaryVisit[] = [];
  let leftToCalls = 0;
  for (const top of await topsDueBy(sql, organisationId, lastDue, today)) {
    if (top.bookedOn === null && dueAfter(top, 2) < today) {
      leftToCalls += 1;
      continue;
    }
    for (const dueOn of dueDaysOf(top, today, lastDue)) {
      visits.push({
        id: expectedId({ topId: top.topId, dueOn, kind: 'lubrication' }),
        top,
        kind: 'lubrication',
        on: null,
        dueOn,
        unwritable: flag(top.unwritable),
        ...dueWindow(dueOn, calendar),
        ...lengthOf('lubrication', top),
      });
    }
  }
  return {
    visits: [...visits, ...(await expectedLooks(sql, calendar, lengthOf, until))],
    leftToCalls,
  };
}

/** Looks whose window opens by a day, that nothing is booked for and no oiling takes the place of. */
async function expectedLooks(
  sql: Sql,
  calendar: DiaryCalendar,
  lengthOf: LengthOf,
  until: Day,
): Promise<DiaryVisit[]> {
  const { organisationId, today, look } = calendar;
  const longest = look.afterDays + look.windowAfterDays + look.lapseDays;
  const tops = await topsToLookAt(sql, organisationId, addDays(today, -longest));
  return tops.flatMap((top) => {
    const due = lookDue({ since: top.lookAfterOn, oilDueOn: top.dueOn, today }, look);
    if (due === null || due.windowFrom > until) return [];
    if (top.bookedOn !== null && top.bookedOn <= due.windowTo) return [];
    return [
      {
        id: expectedId({ topId: top.topId, dueOn: due.dueOn, kind: 'look' }),
        top,
        kind: 'look',
        on: null,
        dueOn: due.dueOn,
        unwritable: flag(top.unwritable),
        earliest: isoWeekOf(due.windowFrom).id,
        latest: isoWeekOf(due.windowTo).id,
        ...lengthOf('look', top),
      } as const,
    ];
  });
}

/** The nth due day from the last oiling, or from the day the top was fitted. */
function dueAfter(top: DiaryTopRow, n: number): Day {
  return dueDay(top.lubricatedOn ?? top.fittedOn, top.intervalMonths, n);
}

/**
 * The due days up to a day that no booking answers. What is overdue is taken as done today, and what
 * is booked as done then: the following ones are counted from there.
 */
function dueDaysOf(top: DiaryTopRow & { bookedOn: Day | null }, today: Day, last: Day): Day[] {
  const { bookedOn, dueOn, intervalMonths } = top;
  const days = bookedOn === null ? [dueOn] : [];
  const anchor = bookedOn ?? (dueOn < today ? today : null);
  const nth = (n: number) =>
    anchor === null ? dueAfter(top, n + 1) : dueDay(anchor, intervalMonths, n);
  for (let n = 1; nth(n) <= last; n += 1) days.push(nth(n));
  return days;
}

/** What an expected visit is known by: its top, what it is for, and the due day. */
export function expectedId(visit: {
  readonly topId: string;
  readonly dueOn: Day;
  readonly kind: OfferedKind;
}): string {
  return `${visit.topId} ${visit.kind} ${visit.dueOn}`;
}

/** The weeks that the due window of a day touches. */
export function dueWindow(
  dueOn: Day,
  { due }: DiaryCalendar,
): { earliest: string; latest: string } {
  return {
    earliest: isoWeekOf(addDays(dueOn, -due.windowBeforeDays)).id,
    latest: isoWeekOf(addDays(dueOn, due.windowAfterDays)).id,
  };
}
