import { dayIn } from '../../domain/calendar/zone.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { CarFacts } from '../../domain/round/car-facts.ts';
import type { LetterOwed } from '../../domain/round/letters-owed.ts';
import type { LinkRow } from '../../store/letters/link-rows.ts';
import type { Context } from '../context/context.ts';
import { careDayLink, newLink } from '../context/links.ts';

/** The link by which the owner answers an estimate. */
export function answerLinks(
  { publicUrl }: Pick<Context, 'publicUrl'>,
  owed: LetterOwed,
  { owner, organisation }: CarFacts,
  at: Instant,
): { url: string; row: LinkRow }[] {
  return owed.occasions.flatMap(({ carId, detail }) =>
    detail.matter === 'estimate'
      ? [
          newLink(publicUrl, at, {
            organisationId: organisation.id,
            ownerId: owner.id,
            carId,
            purpose: 'estimate',
            subject: detail.estimate.id,
          }),
        ]
      : [],
  );
}

/** For each car that is due, asked or for which room is kept, the link to what may be chosen. */
export function daysLinks(
  { publicUrl }: Pick<Context, 'publicUrl'>,
  owed: LetterOwed,
  cars: readonly CarFacts[],
  at: Instant,
): { registration: string; url: string; weeks: string[]; row: LinkRow }[] {
  return cars.slice(0, MOST_CARS).flatMap((car) => {
    const { id, registration, top, organisation, owner } = car;
    const own = owed.occasions.filter(({ carId }) => carId === id);
    const asked = own.find(({ detail }) => detail.matter === 'care-day')?.detail;
    const offer = own.find(({ detail }) => detail.matter === 'offer')?.detail;
    const isDue = own.some(({ detail }) => detail.matter === 'lubrication');
    if (asked?.matter === 'care-day') {
      const { placeId, heldOn } = asked.day;
      const link = careDayLink(placeId, heldOn, dayIn(owner.timeZone, at));
      const whose = { organisationId: organisation.id, ownerId: owner.id, carId: id };
      const { url, row } = newLink(publicUrl, at, { ...whose, ...link });
      return [{ registration, url, weeks: [], row }];
    }
    // Who is asked to a care day is not asked to choose another day in the same letter.
    if (owed.kind === 'care-day-asked') return [];
    if (top === null || (offer === undefined && !(isDue && organisation.takesBookings === true))) {
      return [];
    }
    const offered = offer?.matter === 'offer' ? offer : null;
    const { url, row } = newLink(publicUrl, at, {
      organisationId: organisation.id,
      ownerId: owner.id,
      carId: id,
      purpose: 'book',
      subject: offered === null ? `top ${top.id}` : offered.offerId,
    });
    return [{ registration, url, weeks: offered === null ? [] : offered.weeks.slice(0, 12), row }];
  });
}

// As many as a letter can hold links for.
const MOST_CARS = 60;
