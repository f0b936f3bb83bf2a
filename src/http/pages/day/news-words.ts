import type { Instant } from '../../../domain/calendar/instant.ts';
import type { OwnerNewsRecord } from '../../../usecases/day/owner-news.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { DayLine } from '../shop/day-lines.ts';
import { dayLine } from '../shop/day-lines.ts';

/** One thing that an owner did by a link, as the day's page tells it. */
export function newsLine(
  { deed, at, visitId, registration, ownerName: owner, on, dropOffAt }: OwnerNewsRecord,
  { timeZone, now }: { readonly timeZone: string; readonly now: Instant },
  voice: Voice,
): DayLine {
  const { say } = voice;
  const named = on === null ? '' : voice.day(on);
  const day =
    dropOffAt === null || on === null
      ? named
      : say('today.news.day', { day: named, time: voice.time(dropOffAt, timeZone) });
  const what =
    deed === 'cancelled'
      ? on === null
        ? say('today.news.cancelled', { owner })
        : say('today.news.cancelled.day', { owner, day: named })
      : say(`today.news.${deed}`, { owner, day });
  return dayLine({
    href: `/visits/${visitId}`,
    name: registration,
    words: say('today.news.line', { what, when: voice.moment(at, timeZone, now) }),
  });
}
