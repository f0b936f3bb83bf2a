import type { OwnerDeed, OwnerNewsRecord } from '../../../usecases/day/owner-news.ts';
import { localeOf } from '../../../views/words/locale.ts';

const EN = localeOf('en-GB');

/** One thing that an owner did by a link, as the day's page tells it. */
export function newsRow(
  { deed, visitId, registration, ownerName, on, dropOffAt }: OwnerNewsRecord,
  timeZone: string,
  when: string,
) {
  const time = dropOffAt === null ? '' : ` at ${EN.time(dropOffAt, timeZone)}`;
  const day = on === null ? '' : `${EN.day(on)}${time}`;
  const words: Readonly<Record<OwnerDeed, string>> = {
    chose: `${ownerName} chose ${day}`,
    moved: `${ownerName} moved the visit to ${day}`,
    cancelled: `${ownerName} cancelled the visit; ${on === null ? 'its day' : EN.day(on)} is free again`,
    accepted: `${ownerName} agreed to what was advised`,
    declined: `${ownerName} decided against what was advised`,
  };
  return {
    href: `/visits/${visitId}`,
    registration,
    words: words[deed],
    when,
  };
}
