import { msOf } from '../../domain/calendar/instant.ts';
import type { CalendarVisit } from '../../mail/calendar.ts';
import { calendarObject } from '../../mail/calendar.ts';
import type { ToldVisitRow } from '../../store/visits/visit-letter-rows.ts';
import { speakerOf } from '../../views/letters/sheet.ts';
import type { Context } from '../context/context.ts';

/** Whose calendar entries these are, and in which language they speak. */
export interface CalendarOrganisation {
  readonly name: string;
  readonly email: string | null;
  readonly language: string;
}

/**
 * A visit as every calendar shows it: the owner's, from a letter, and the organisation's, from its
 * feed. The UID never changes; SEQUENCE follows the version, which rises with every change, and
 * DTSTAMP is the last change (RFC 5546, 2.1.4 and 3.2.1). Calendars are shared with other people:
 * the entry tells registration and kind of work, no name, no address, nothing of how the car stands.
 */
export function calendarVisit(
  { mailDomain }: Pick<Context, 'mailDomain'>,
  visit: ToldVisitRow,
  organisation: CalendarOrganisation,
): CalendarVisit | null {
  const day = visit.doneOn ?? visit.plannedOn;
  if (day === null) return null;
  const { doneOn, dropOffAt, readyAt } = visit;
  // Of what took place the day is known and no time; a booking lasts until the car is ready.
  const timed = doneOn === null && dropOffAt !== null;
  const minutes = timed && readyAt !== null ? (msOf(readyAt) - msOf(dropOffAt)) / 60_000 : null;
  const work = speakerOf(organisation.language).say(`visit.kind.${visit.kind}`);
  return {
    uid: `visit-${visit.id}@${mailDomain}`,
    sequence: visit.version - 1,
    stamp: visit.changedAt ?? visit.createdAt,
    start: timed ? dropOffAt : day,
    ...(minutes === null ? {} : { minutes }),
    summary: `${visit.registration}: ${work}`,
    // RFC 5546, 3.2.1 wants an organiser; nobody answers to a PUBLISH, so any address of ours does.
    organiser: { name: organisation.name, address: organisation.email ?? `visits@${mailDomain}` },
    status: visit.state === 'cancelled' ? 'CANCELLED' : 'CONFIRMED',
  };
}

/**
 * The calendar column of a letter about a visit with a day. A visit that stands goes as PUBLISH, also
 * when it was moved: same UID, higher SEQUENCE (RFC 5546, 4.1.2). One called off goes as CANCEL, as
 * RFC 5546, 4.1.3 cancels what was published. Few programs change an entry from an attachment, so
 * the letter says in words what to do, and the feed carries every change.
 */
export function calendarColumn(
  context: Pick<Context, 'mailDomain'>,
  visit: ToldVisitRow,
  organisation: CalendarOrganisation,
): string | undefined {
  const entry = calendarVisit(context, visit, organisation);
  if (entry === null) return undefined;
  const method = visit.state === 'cancelled' ? 'CANCEL' : 'PUBLISH';
  const content = calendarObject({ ...entry, method });
  return JSON.stringify({ filename: 'visit.ics', method, content });
}
