import type { Day } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { MayMove } from '../../domain/may-move/move-verdict.ts';
import { Refused } from '../../domain/refusal.ts';
import type { BookLinkRow } from '../../store/diary/book-link-rows.ts';
import { offerBehind } from '../../store/diary/book-link-rows.ts';
import { standingBooking } from '../../store/diary/booking-rows.ts';
import { findLink } from '../../store/letters/link-rows.ts';
import { bookWeek } from './book-week.ts';
import { actingAs } from '../context/acting.ts';
import type { Context } from '../context/context.ts';
import { showOffer } from '../bench/offer-weeks.ts';
import { mayMoveNow } from '../own/may-move.ts';
import { hashOf } from '../context/secret.ts';

/** What an owner sees behind a link to an offered week. */
export interface BookPageRecord {
  readonly organisation: {
    readonly name: string;
    readonly postalAddress: string | null;
    readonly phone: string | null;
  };
  readonly language: string;
  readonly registration: string;
  /** While the top must not be moved there are no weeks: it wants a repair first. */
  readonly mayMove: MayMove;
  /** The day of the visit, where one is booked. */
  readonly bookedOn: Day | null;
  /** The week of the link. */
  readonly asked: string;
  /** Weeks that have room now; empty once a visit is booked, or where there is none. */
  readonly weeks: string[];
  /** How long the visit takes, by experience; null where there is nothing to choose. */
  readonly minutes: number | null;
}

export interface Booked {
  readonly page: BookPageRecord;
  /** False where the week had no room any more when its turn came. */
  readonly booked: boolean;
}

interface Open {
  readonly row: BookLinkRow;
  readonly asked: string;
  readonly ownerId: string;
}

/** The page behind a link to an offered week; null where the link opens nothing. Changes nothing. */
export async function readBookPage(
  context: Context,
  token: string,
): Promise<BookPageRecord | null> {
  const open = await openLink(context, token);
  return open === null ? null : pageOf(context, open);
}

/**
 * Books one of the weeks that are shown behind a link, if it still has room: of two who want the
 * last place the quicker one has it, and the other is shown what is left. Asked twice it is one
 * booking. Null where the link opens nothing.
 */
export async function confirmWeek(
  context: Context,
  token: string,
  week: string,
): Promise<Booked | null> {
  const open = await openLink(context, token);
  if (open === null) return null;
  const before = await pageOf(context, open);
  if (before.bookedOn !== null) return { page: before, booked: true };
  if (before.weeks.includes(week)) {
    try {
      await actingAs(context, { author: { id: `owner:${open.ownerId}`, name: '' } }, () =>
        bookWeek(context, open.row, open.row.topId, { week }),
      );
    } catch (fault) {
      if (!(fault instanceof Refused)) throw fault;
    }
  }
  const page = await pageOf(context, open);
  return { page, booked: page.bookedOn !== null };
}

async function openLink(context: Context, token: string): Promise<Open | null> {
  const { sql } = context.store;
  const link = await findLink(sql, 'book', hashOf(token));
  if (link === null || link.ownerId === null) return null;
  const [offerId = '', asked = ''] = (link.subject ?? '').split(' ');
  const { organisationId, ownerId } = link;
  const row = await offerBehind(sql, { organisationId, ownerId, offerId });
  return row === null ? null : { row, asked, ownerId };
}

async function pageOf(context: Context, { row, asked }: Open): Promise<BookPageRecord> {
  const { topId, registration, language } = row;
  const today = dayIn(row.timeZone, context.now());
  const booking = await standingBooking(context.store.sql, topId, 'lubrication', today);
  const mayMove = await mayMoveNow(context.store.sql, row.organisationId, row, context.now());
  const stays = mayMove.verdict === 'leave';
  const closed = booking !== null || row.retiredOn !== null || stays;
  const offer = closed ? null : await showOffer(context, row, topId);
  return {
    organisation: {
      name: row.organisationName,
      postalAddress: row.postalAddress,
      phone: row.phone,
    },
    language,
    registration,
    mayMove,
    bookedOn: booking?.plannedOn ?? null,
    asked,
    weeks: offer?.weeks.map(({ id }) => id) ?? [],
    minutes: offer?.minutes ?? null,
  };
}
