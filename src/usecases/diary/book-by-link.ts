import type { VisitKind } from '../../domain/bench/minutes.ts';
import { lastDayToChange } from '../../domain/bench/working-days.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { MayMove } from '../../domain/may-move/move-verdict.ts';
import { Refused } from '../../domain/refusal.ts';
import type { BookLink, BookLinkRow, LastVisitRow } from '../../store/diary/book-link-rows.ts';
import {
  lastBooked,
  offerBehind,
  topBehind,
  visitBehind,
} from '../../store/diary/book-link-rows.ts';
import { findLink } from '../../store/letters/link-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { BookedTimes } from '../bench/day-times.ts';
import type { DiaryCalendar } from '../bench/diary-calendar.ts';
import { clockTimeOf, diaryCalendar } from '../bench/diary-calendar.ts';
import { weeksWithRoom } from '../bench/weeks-with-room.ts';
import { ownerCaller } from '../cars/owner-car.ts';
import { actingAs } from '../context/acting.ts';
import type { Context } from '../context/context.ts';
import { hashOf } from '../context/secret.ts';
import { mayMoveNow } from '../own/may-move.ts';
import { changeVisit } from '../visits/change-visit.ts';
import { bookWeek, moveBooking } from './book-week.ts';

/** A day that an owner may choose; `value` names it in a form, as `2026-12-03T08:30`. */
export interface DayChoiceRecord extends BookedTimes {
  readonly value: string;
}

/** What an owner sees behind a link to a visit, booked or to be booked. */
export interface BookPageRecord {
  readonly organisation: {
    readonly name: string;
    readonly postalAddress: string | null;
    readonly phone: string | null;
  };
  readonly language: string;
  readonly registration: string;
  readonly kind: VisitKind;
  /** While the top must not be moved there are no days but for its repair. */
  readonly mayMove: MayMove;
  /** Zone by whose clock the times are meant. */
  readonly timeZone: string;
  readonly booked: {
    readonly on: Day;
    readonly dropOffAt: string | null;
    readonly readyAt: string | null;
    /** Last day on which it may be moved or cancelled here; null where that is over. */
    readonly changeUntil: Day | null;
  } | null;
  /** What stands now, by name: a form that was made while something else stood changes nothing. */
  readonly was: string;
  /** Days that have room now; empty where there is nothing to choose. */
  readonly days: DayChoiceRecord[];
  /** How long the visit takes, by experience; null where there is nothing to choose. */
  readonly minutes: number | null;
}

/** What an owner pressed. */
export interface Pressed {
  /** What stood when the form was made. */
  readonly was: string;
  /** The day chosen, by its value. */
  readonly day?: string | undefined;
  readonly cancel?: boolean | undefined;
}

/** What a press came to; `nothing` where it was made in a form that was out of date. */
export type PressResult = 'booked' | 'moved' | 'cancelled' | 'gone' | 'nothing';

interface Open {
  readonly row: BookLinkRow;
  readonly kind: VisitKind;
  readonly organisationId: string;
}

/** The page behind a link to a visit; null where the link opens nothing. Changes nothing. */
export async function readBookPage(
  context: Context,
  token: string,
): Promise<BookPageRecord | null> {
  const open = await openLink(context, token);
  return open === null ? null : (await lookBehind(context, open)).page;
}

/**
 * Books, moves or cancels a visit behind a link. Of two who want the last time the quicker one has it,
 * and the other is shown what is left. A form says what stood when it was made, so whatever is pressed
 * twice, or in an old window, changes nothing. Null where the link opens nothing.
 */
export async function pressBookPage(
  context: Context,
  token: string,
  pressed: Pressed,
): Promise<{ page: BookPageRecord; came: PressResult } | null> {
  const open = await openLink(context, token);
  if (open === null) return null;
  const before = await lookBehind(context, open);
  if (pressed.was !== before.page.was) return { page: before.page, came: 'nothing' };
  const { ownerId } = open.row;
  const came = await actingAs(context, { author: { id: `owner:${ownerId}`, name: '' } }, () =>
    carryOut(context, open, before, pressed),
  );
  return { page: (await lookBehind(context, open)).page, came };
}

async function carryOut(
  context: Context,
  { row, kind, organisationId }: Open,
  { page, standing }: Behind,
  { day, cancel }: Pressed,
): Promise<PressResult> {
  const caller = ownerCaller({ id: row.ownerId, organisationId, name: row.ownerName });
  const changeable = page.booked !== null && page.booked.changeUntil !== null;
  if (standing !== null && !changeable) return 'nothing';
  const choice = page.days.find(({ value }) => value === day);
  try {
    if (cancel === true) {
      if (standing === null) return 'nothing';
      await changeVisit(context, caller, standing.id, { state: 'cancelled' }, standing.version);
      return 'cancelled';
    }
    if (choice === undefined) return 'gone';
    const asked = { on: choice.on, at: choice.value.slice(11) };
    if (standing === null) {
      await bookWeek(context, caller, row.topId, { kind, ...asked });
      return 'booked';
    }
    await moveBooking(context, caller, standing.id, asked, standing.version);
    return 'moved';
  } catch (fault) {
    if (fault instanceof Refused) return 'gone';
    throw fault;
  }
}

/** Links name what they lead to: an offer, the oiling, a look or the repair of a top, or a visit. */
async function openLink(context: Context, token: string): Promise<Open | null> {
  const { sql } = context.store;
  const link = await findLink(sql, 'book', hashOf(token), context.now());
  if (link === null || link.ownerId === null) return null;
  const { organisationId, ownerId } = link;
  const [what = '', id = ''] = (link.subject ?? '').split(' ');
  const found = await behind(sql, { organisationId, ownerId }, what, id);
  return found === null ? null : { ...found, organisationId };
}

async function behind(
  sql: Sql,
  link: BookLink,
  what: string,
  id: string,
): Promise<{ row: BookLinkRow; kind: VisitKind } | null> {
  if (what === 'visit') {
    const row = await visitBehind(sql, { ...link, id });
    return row && { row, kind: row.kind };
  }
  if (what === 'top') {
    const row = await topBehind(sql, { ...link, id });
    return row && { row, kind: 'lubrication' };
  }
  if (what === 'repair' || what === 'look') {
    const row = await topBehind(sql, { ...link, id });
    return row && { row, kind: what };
  }
  const row = await offerBehind(sql, { ...link, id: what });
  return row && { row, kind: row.kind };
}

interface Behind {
  readonly page: BookPageRecord;
  readonly standing: LastVisitRow | null;
}

async function lookBehind(context: Context, { row, kind }: Open): Promise<Behind> {
  const { sql } = context.store;
  const { topId, registration, language, organisationId } = row;
  const calendar = await diaryCalendar(sql, organisationId, context.now());
  const last = await lastBooked(sql, topId, kind);
  const standing = last !== null && stands(last, calendar.today) ? last : null;
  const mayMove = await mayMoveNow(sql, organisationId, row, context.now());
  const booked = standing === null ? null : bookedPart(standing, calendar);
  const stays = mayMove.verdict === 'leave' && kind !== 'repair';
  const closed =
    row.retiredOn !== null || stays || (booked !== null && booked.changeUntil === null);
  const room = closed
    ? null
    : await weeksWithRoom(context, { organisationId }, topId, {
        kind,
        ...(standing === null ? {} : { id: standing.id, minutes: standing.minutes }),
      });
  const page = {
    organisation: {
      name: row.organisationName,
      postalAddress: row.postalAddress,
      phone: row.phone,
    },
    language,
    registration,
    kind,
    mayMove,
    timeZone: calendar.timeZone,
    booked,
    was: last === null ? 'none' : `${last.id}:${last.version}`,
    days: (room?.days ?? [])
      .map((day) => ({ ...day, value: `${day.on}T${clockTimeOf(calendar, day.dropOffAt)}` }))
      .filter(({ dropOffAt }) => dropOffAt !== standing?.dropOffAt),
    minutes: room?.minutes ?? null,
  };
  return { page, standing };
}

function stands({ state, plannedOn }: LastVisitRow, today: Day): boolean {
  return state === 'booked' && plannedOn !== null && plannedOn >= today;
}

function bookedPart(
  { plannedOn, dropOffAt, readyAt }: LastVisitRow,
  calendar: DiaryCalendar,
): NonNullable<BookPageRecord['booked']> {
  const on = plannedOn ?? '';
  const until = lastDayToChange(on, calendar.bench.changeDays, calendar);
  return { on, dropOffAt, readyAt, changeUntil: calendar.today <= until ? until : null };
}
