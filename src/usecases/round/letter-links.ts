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
    if (asked?.matter === 'care-day') {
      const { placeId, heldOn } = asked.day;
      const link = careDayLink(placeId, heldOn, dayIn(owner.timeZone, at));
      const whose = { organisationId: organisation.id, ownerId: owner.id, carId: id };
      const { url, row } = newLink(publicUrl, at, { ...whose, ...link });
      return [{ registration, url, weeks: [], row }];
    }
    // Who is asked to a care day is not asked to choose another day in the same letter.
    if (owed.kind === 'care-day-asked') return [];
    const visit = top === null ? null : visitToChoose(owed, own, top.id, organisation);
    if (visit === null) return [];
    const { url, row } = newLink(publicUrl, at, {
      organisationId: organisation.id,
      ownerId: owner.id,
      carId: id,
      purpose: 'book',
      subject: visit.subject,
    });
    return [{ registration, url, weeks: visit.weeks.slice(0, 12), row }];
  });
}

/**
 * The one visit of a car for which a letter lets its owner choose a day, as a link names it. An oiling
 * comes before a look, since whoever oils the joints looks at them; of a warranty that ends the letter
 * advises a look before that day. Weeks kept for a visit may be chosen of any organisation, other days of
 * those alone that let owners book.
 */
function visitToChoose(
  owed: LetterOwed,
  own: LetterOwed['occasions'],
  topId: string,
  { takesBookings = false }: CarFacts['organisation'],
): { readonly subject: string; readonly weeks: readonly string[] } | null {
  const about = (matter: string) => own.some(({ detail }) => detail.matter === matter);
  const due = { lubrication: about('lubrication'), look: about('look') };
  for (const kind of ['lubrication', 'look'] as const) {
    for (const { detail } of own) {
      if (detail.matter !== 'offer' || detail.visit !== kind) continue;
      return { subject: detail.offerId, weeks: detail.weeks };
    }
    if (due[kind] && takesBookings) {
      return { subject: `${kind === 'look' ? 'look' : 'top'} ${topId}`, weeks: [] };
    }
  }
  const ends = owed.kind === 'warranty-ending' && about('warranty');
  return ends && takesBookings ? { subject: `look ${topId}`, weeks: [] } : null;
}

// As many as a letter can hold links for.
const MOST_CARS = 60;
