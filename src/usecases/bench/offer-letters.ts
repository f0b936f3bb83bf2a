import type { Instant } from '../../domain/calendar/instant.ts';
import { isoWeekOf } from '../../domain/calendar/day.ts';
import { dayIn, nextWithinHours } from '../../domain/calendar/zone.ts';
import type { CarFacts } from '../../domain/round/car-facts.ts';
import { loadCarFacts } from '../../store/cars/car-facts-rows.ts';
import { cancelLetters, storeLetters } from '../../store/letters/letter-rows.ts';
import { storeLinks } from '../../store/letters/link-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { lettersOfEndedOffers, offersUntold } from '../../store/visits/visit-letter-rows.ts';
import { renderLetter } from '../../views/letters/render.ts';
import type { Context } from '../context/context.ts';
import { newLink } from '../context/links.ts';
import type { OwnStyle } from '../organisations/own-style.ts';
import { loadOwnStyle } from '../organisations/own-style.ts';
import type { WrittenLetter } from '../round/write-letter.ts';
import { composeLetter } from '../round/write-letter.ts';

const CARS_A_CHUNK = 250;
// As many as a letter can hold links for, and weeks to name with one of them.
const MOST_CARS = 60;
const MOST_WEEKS = 12;

interface Untold {
  readonly offerId: string;
  readonly car: CarFacts;
  readonly kind: 'lubrication' | 'look';
  readonly weeks: readonly string[];
}

/**
 * Writes the letters about weeks to choose from that are owed: for every open offer that none tells
 * of, one letter an owner, with a link a car that opens the page with its days. Unsent letters about
 * offers that ended are cancelled, and what they said of other cars is written anew. Call it in the
 * transaction that stored or ended offers; calling it again writes nothing more. A link has purpose
 * `book`, the car, and the offer as its subject. Returns how many letters were written.
 */
export async function writeVisitOffered(
  context: Pick<Context, 'publicUrl' | 'mailDomain'>,
  sql: Sql,
  organisationId: string,
  at: Instant,
): Promise<number> {
  const ended = await lettersOfEndedOffers(sql, organisationId);
  await cancelLetters(sql, ended, 'the offer has ended', at);
  const offers = await offersUntold(sql, organisationId);
  if (offers.length === 0) return 0;
  const ownStyle = await loadOwnStyle(sql, organisationId);
  const untold: Untold[] = [];
  for (let start = 0; start < offers.length; start += CARS_A_CHUNK) {
    const part = offers.slice(start, start + CARS_A_CHUNK);
    const { cars } = await loadCarFacts(sql, [...new Set(part.map(({ carId }) => carId))], at);
    const byId = new Map(cars.map((car) => [car.id, car]));
    for (const { id, carId, kind, weeks: json } of part) {
      const car = byId.get(carId);
      if (car === undefined || isUnwelcome(car)) continue;
      const thisWeek = isoWeekOf(dayIn(car.timeZone, at)).id;
      const weeks = (JSON.parse(json) as string[]).filter((week) => week >= thisWeek);
      if (weeks.length > 0) untold.push({ offerId: id, car, kind, weeks });
    }
  }
  const written = letterful(untold).map((group) => write(context, group, ownStyle, at));
  const stored = await storeLetters(sql, written);
  const fresh = written.filter(({ letter }) => stored.has(letter.id));
  await storeLinks(
    sql,
    fresh.flatMap(({ links }) => links),
  );
  return fresh.length;
}

/** A top that must not be moved wants a repair first, and a word about it: no choice of weeks. */
function isUnwelcome({ owner, organisation, mayMove }: CarFacts): boolean {
  return (
    mayMove.verdict === 'leave' ||
    organisation.kind === 'private' ||
    owner.unreachable ||
    owner.refusedTopics.includes('offers')
  );
}

/** The offers of one kind to one owner together, as many as a letter holds. */
function letterful(untold: readonly Untold[]): Untold[][] {
  const groups: Untold[][] = [];
  for (const offer of untold) {
    const group = groups.findLast(
      ([first]) => first?.car.owner.id === offer.car.owner.id && first.kind === offer.kind,
    );
    if (group !== undefined && group.length < MOST_CARS) group.push(offer);
    else groups.push([offer]);
  }
  return groups;
}

function write(
  context: Pick<Context, 'publicUrl' | 'mailDomain'>,
  group: readonly Untold[],
  ownStyle: OwnStyle,
  at: Instant,
): WrittenLetter {
  const car = group[0]?.car;
  if (car === undefined) throw new Error('a letter must be about a car');
  const { owner, organisation } = car;
  const choices = group.map(({ offerId, car: { id: carId, registration }, weeks }) => ({
    registration,
    weeks: weeks.slice(0, MOST_WEEKS),
    link: newLink(context.publicUrl, at, {
      organisationId: organisation.id,
      ownerId: owner.id,
      carId,
      purpose: 'book',
      subject: offerId,
    }),
  }));
  const plan = {
    car,
    cars: group.map((offer) => offer.car),
    kind: 'visit-offered' as const,
    notBefore: nextWithinHours(owner.timeZone, at, ...organisation.letterHours),
    occasions: group.map(({ offerId, car: { id } }) => ({
      key: `visit-offered:${offerId}`,
      carId: id,
    })),
    links: choices.map(({ link }) => link.row),
  };
  return composeLetter(context, plan, at, ownStyle, (base, own) =>
    renderLetter(
      'visit-offered',
      {
        ...base,
        cars: group.map(({ car: { registration } }) => ({ registration })),
        visit: {
          kind: group[0]?.kind ?? 'lubrication',
          week: null,
          on: null,
          times: null,
          manage: null,
          minutes: null,
          previousOn: null,
          reason: null,
        },
        offers: choices.map(({ registration, weeks, link }) => ({
          registration,
          weeks,
          url: link.url,
        })),
      },
      own,
    ),
  );
}
