import { createHash } from 'node:crypto';
import { addDays } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { addHours } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { calendarFeed } from '../../mail/calendar.ts';
import { findLink, revokeLinks, storeLinks } from '../../store/letters/link-rows.ts';
import { letterheadOf } from '../../store/organisations/organisation-rows.ts';
import { diaryVisits } from '../../store/visits/visit-letter-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { newLink } from '../context/links.ts';
import { TOLD_NOTES } from '../own/visit-notes.ts';
import { hashOf } from '../context/secret.ts';
import { calendarVisit } from '../visits/visit-calendar.ts';

/** The diary as a calendar to subscribe to, with what a cache needs to know of it. */
export interface DiaryFeed {
  readonly text: string;
  /** Names these very bytes. */
  readonly tag: string;
  /** The last change, no earlier than today: with the day, entries drop out of the feed. */
  readonly changedAt: Instant;
}

// So long a visit called off stays in the feed, marked: programs look again after a day or a week.
const CANCELLED_DAYS = 30;
const PAST_DAYS = 90;

/** Makes an address for the organisation's diary. It is shown this once and works until revoked. */
export async function makeFeed(
  context: Context,
  { organisationId }: Caller,
): Promise<{ url: string }> {
  const { url, row } = newLink(context.publicUrl, context.now(), {
    organisationId,
    ownerId: null,
    carId: null,
    purpose: 'diary',
    subject: null,
    byHand: true,
  });
  await context.store.writeSql((sql) => storeLinks(sql, [row]));
  return { url };
}

/** Revokes every address that was made for the organisation's diary. */
export async function revokeFeeds(context: Context, { organisationId }: Caller): Promise<void> {
  await context.store.writeSql((sql) => revokeLinks(sql, organisationId, 'diary', context.now()));
}

/** The diary behind a token; null where the token opens nothing. */
export async function readDiaryFeed(context: Context, token: string): Promise<DiaryFeed | null> {
  const { sql } = context.store;
  const link = await findLink(sql, 'diary', hashOf(token), context.now());
  if (link === null) return null;
  const organisation = await letterheadOf(sql, link.organisationId);
  if (organisation === null) return null;
  const now = context.now();
  const midnight = `${now.slice(0, 10)}T00:00:00.000Z`;
  const visits = await diaryVisits(sql, link.organisationId, {
    from: addDays(dayIn(organisation.timeZone, midnight), -PAST_DAYS),
    cancelledSince: addHours(midnight, -CANCELLED_DAYS * 24),
    exceptNotes: TOLD_NOTES,
  });
  const events = visits.flatMap((visit) => calendarVisit(context, visit, organisation) ?? []);
  const text = calendarFeed({ name: organisation.name, events });
  const changedAt = visits
    .map((visit) => visit.changedAt ?? visit.createdAt)
    .reduce((last, at) => (at > last ? at : last), midnight);
  return { text, tag: createHash('sha256').update(text).digest('base64url'), changedAt };
}
