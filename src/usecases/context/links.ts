import type { Day } from '../../domain/calendar/day.ts';
import { daysBetween } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { addHours } from '../../domain/calendar/instant.ts';
import type { LinkRow } from '../../store/letters/link-rows.ts';
import { newId } from './new-id.ts';
import { newSecret } from './secret.ts';

/** What a link is good for; a link of one purpose opens nothing of another. */
export type LinkPurpose =
  | 'stop'
  | 'owner-page'
  | 'diary'
  | 'book'
  | 'care-day'
  | 'join-cars'
  | 'estimate';

const PATHS: Readonly<Record<LinkPurpose, (token: string) => string>> = {
  stop: (token) => `/u/${token}`,
  'owner-page': (token) => `/o/${token}`,
  diary: (token) => `/calendar/${token}.ics`,
  book: (token) => `/b/${token}`,
  'care-day': (token) => `/d/${token}`,
  // No page: its owner carries the code from one page to another.
  'join-cars': (token) => `/join-cars/${token}`,
  estimate: (token) => `/e/${token}`,
};

/** Takes the tokens out of the links of owners and diaries: whoever reads on cannot use them. */
export function withoutTokens(text: string): string {
  return text.replace(TOKEN_IN_LINK, '$1left-out');
}

// Tokens are 32 random bytes in base64url: 43 characters.
// The whole address is asked for: pixels in base64 may hold what looks like a part of one.
const TOKEN_IN_LINK = /(:\/\/[^\s"'<>]{1,200}?\/(?:u|o|b|d|e|calendar)\/)[A-Za-z0-9_-]{43}/g;

// Shop rules. A letter comes once a year at the least and brings new ones; a card in the car is printed
// for longer. What stops letters must open from any old letter, and a calendar is never renewed by hand.
const DAYS: Readonly<Record<LinkPurpose, number | null>> = {
  stop: null,
  'owner-page': 400,
  book: 400,
  'care-day': 400,
  'join-cars': 2,
  // How long it holds is said by the estimate itself; until then and after, its page says how it stands.
  estimate: 400,
  diary: null,
};

/** A link to the times of a care day for one car; it ends with the day. */
export function careDayLink(placeId: string, heldOn: Day, today: Day) {
  const days = Math.max(1, daysBetween(today, heldOn) + 1);
  return { purpose: 'care-day', subject: placeId, days } as const;
}

/** A new link: the address with its token for the person, the row with its hash for the store. */
export function newLink(
  publicUrl: string,
  at: Instant,
  link: Pick<LinkRow, 'organisationId' | 'ownerId' | 'carId' | 'subject'> & {
    purpose: LinkPurpose;
    /** Ends by itself after so many days; by its purpose where absent. */
    days?: number;
    byHand?: boolean;
  },
): { url: string; row: LinkRow } {
  const { secret, hash } = newSecret();
  const { organisationId, ownerId, carId, purpose, subject, byHand = false } = link;
  const { days = DAYS[purpose] } = link;
  const expiresAt = days === null ? null : addHours(at, days * 24);
  return {
    url: `${publicUrl}${PATHS[purpose](secret)}`,
    row: {
      id: newId(),
      hash,
      createdAt: at,
      usedAt: null,
      revokedAt: null,
      expiresAt,
      byHand,
      organisationId,
      ownerId,
      purpose,
      carId,
      subject,
    },
  };
}
