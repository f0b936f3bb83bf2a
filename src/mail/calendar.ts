import ical, {
  ICalAlarmType,
  ICalCalendarMethod,
  ICalEventStatus,
  ICalEventTransparency,
} from 'ical-generator';
import type { ICalEventData } from 'ical-generator';

/** One visit as a calendar shows it. */
export interface CalendarVisit {
  /** Stays the same for ever: it is what ties changes to the entry. */
  readonly uid: string;
  /** Starts at 0; one more at every change of day, length or state (RFC 5546 section 2.1.4). */
  readonly sequence: number;
  /** Instant of the last change, not of writing: else a feed never stays the same. */
  readonly stamp: string;
  /** `YYYY-MM-DD` for a whole day, or an instant. */
  readonly start: string;
  /** Length; whole days ignore it. */
  readonly minutes?: number;
  readonly summary: string;
  readonly description?: string;
  readonly organiser: { readonly name: string; readonly address: string };
  readonly url?: string;
  readonly status: 'TENTATIVE' | 'CONFIRMED' | 'CANCELLED';
}

const PRODUCT = { company: 'Foldkeep', product: 'Foldkeep', language: 'EN' };
const TWO_DAYS = 2 * 24 * 3600;

/**
 * One visit as an iCalendar object of its own (RFC 5545, 5546): `PUBLISH` for a visit that stands
 * or has changed, `CANCEL` for one called off. Never a recurrence. Throws `RangeError` for a start
 * or stamp that is neither a day nor an instant, and for a sequence below 0.
 */
export function calendarObject(
  visit: CalendarVisit & { readonly method: 'PUBLISH' | 'CANCEL' },
): string {
  const called = visit.method === 'CANCEL' || visit.status === 'CANCELLED';
  const calendar = ical({
    prodId: PRODUCT,
    method: visit.method === 'CANCEL' ? ICalCalendarMethod.CANCEL : ICalCalendarMethod.PUBLISH,
  });
  const event = calendar.createEvent(eventOf(called ? { ...visit, status: 'CANCELLED' } : visit));
  // Programs may drop it, the letter is the reminder. RFC 5546 section 3.2.5: none in a CANCEL.
  if (!called) event.createAlarm({ type: ICalAlarmType.display, trigger: TWO_DAYS });
  return written(calendar.toString());
}

/**
 * All visits as a feed to subscribe to. Visits called off stay in it, marked, so that calendars
 * take them out. `refreshHours`: how often programs should look again (12 unless told).
 */
export function calendarFeed(feed: {
  readonly name: string;
  readonly events: readonly CalendarVisit[];
  readonly refreshHours?: number;
}): string {
  const calendar = ical({
    prodId: PRODUCT,
    // The library escapes the texts of events, but not the calendar's own name.
    name: plain(feed.name)
      .replace(/[\\;,]/g, '\\$&')
      .replace(/\n/g, ' '),
    ttl: (feed.refreshHours ?? 12) * 3600,
    events: feed.events.map(eventOf),
  });
  return written(calendar.toString());
}

function eventOf(visit: CalendarVisit): ICalEventData {
  if (!Number.isInteger(visit.sequence) || visit.sequence < 0) {
    throw new RangeError('a sequence is a whole number from 0 up');
  }
  const status = ICalEventStatus[visit.status];
  return {
    id: oneLine(visit.uid),
    sequence: visit.sequence,
    stamp: instantOf(visit.stamp, 'stamp'),
    ...spanOf(visit),
    summary: oneLine(visit.summary),
    ...(visit.description === undefined ? {} : { description: plain(visit.description) }),
    organizer: {
      // RFC 5545 section 3.2: a quoted parameter cannot hold a double quote in any form.
      name: oneLine(visit.organiser.name).replace(/["\\]/g, "'") || visit.organiser.address,
      email: oneLine(visit.organiser.address),
    },
    ...(visit.url === undefined ? {} : { url: linkOf(visit.url) }),
    status,
  };
}

function spanOf({ start, minutes }: CalendarVisit): Partial<ICalEventData> & { start: Date } {
  if (/^\d{4}-\d{2}-\d{2}$/.test(start)) {
    const day = instantOf(`${start}T00:00:00Z`, 'start');
    if (!day.toISOString().startsWith(start)) throw new RangeError('start: no such day');
    // RFC 5545 section 3.6.1: the end of whole days is the first day that is free again.
    const end = new Date(day.getTime() + 24 * 3_600_000);
    return { start: day, end, allDay: true, transparency: ICalEventTransparency.TRANSPARENT };
  }
  const begin = instantOf(start, 'start');
  const length = minutes ?? 60;
  if (!Number.isFinite(length) || length <= 0) throw new RangeError('minutes: a visit takes time');
  return {
    start: begin,
    end: new Date(begin.getTime() + length * 60_000),
    transparency: ICalEventTransparency.OPAQUE,
  };
}

function instantOf(text: string, field: string): Date {
  const instant = new Date(text);
  if (!/T.*Z$/.test(text) || Number.isNaN(instant.getTime())) {
    throw new RangeError(`${field}: neither a day nor an instant`);
  }
  return instant;
}

// oxlint-disable-next-line no-control-regex -- control characters are exactly what goes
const CONTROL = /[\u0000-\u0009\u000b-\u001f\u007f]/g;

/** Text without the control characters that RFC 5545 section 3.3.11 forbids, and well-formed. */
function plain(text: string): string {
  return Buffer.from(text).toString().replace(/\r\n?/g, '\n').replace(CONTROL, ' ');
}

function oneLine(text: string): string {
  return plain(text).replace(/\n/g, ' ').trim();
}

/** The library escapes links as if they were text, which a URI must not be: leave it no cause. */
function linkOf(url: string): string {
  return oneLine(url).replace(/[\\;, ]/g, (sign) => encodeURIComponent(sign));
}

/** The library leaves out the last line end that RFC 5545 section 3.1 asks for. */
function written(text: string): string {
  return text.endsWith('\r\n') ? text : `${text}\r\n`;
}
