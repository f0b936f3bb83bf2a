import type { Checked } from './models.ts';
import type { Offers, Speaker } from './sheet.ts';

type Model = Pick<Checked<'visit-offered'>, 'offers' | 'organisation'>;

/**
 * The way to a day: one link a car, and the weeks in which room was kept. Without any, how to get a
 * day. A private owner oils by himself.
 */
export function offersOf({ offers, organisation }: Model, speaker: Speaker): Offers | null {
  const { say } = speaker;
  if (offers.length === 0) {
    return organisation.kind === 'private' ? null : { intro: [say('offers.none')], items: [] };
  }
  const items = offers.map(({ registration, url }) => ({
    label: offers.length === 1 ? say('offers.day') : say('offers.day.car', { car: registration }),
    url,
  }));
  // Of several cars the pages behind the links tell the weeks.
  const weeks = offers.length === 1 ? (offers[0]?.weeks ?? []) : [];
  const room = weeks.map((week) => speaker.week(week, 'label'));
  return {
    intro: [
      ...(room.length === 0 ? [] : [say('offers.weeks', { weeks: speaker.list(room) })]),
      say('offers.choose'),
    ],
    items,
  };
}
