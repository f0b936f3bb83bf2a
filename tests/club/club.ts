import { makeKey } from '../../src/usecases/organisations/organisations.ts';
import { programCaller } from '../../src/usecases/context/context.ts';
import type { Caller } from '../../src/usecases/context/context.ts';
import type { CareDayInput } from '../../src/usecases/care-days/keep-care-days.ts';
import { askToCareDay } from '../../src/usecases/care-days/care-day-list.ts';
import { planCareDay } from '../../src/usecases/care-days/keep-care-days.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

export const CLUB = 'The Rim Oilers';

export interface Member extends CarAndTop {
  readonly registration: string;
}

/** Signs a workshop in as a club. Gives back its caller. */
export async function asClub(shop: Workshop, language = 'en'): Promise<Caller> {
  const { key, organisationId } = await makeKey(
    shop.context,
    { name: CLUB, kind: 'club', language },
    'full',
  );
  shop.key = key;
  return programCaller(organisationId, 'test');
}

/** Members with a car each; a third of them with a powered top. */
export async function members(shop: Workshop, count: number, more: object = {}): Promise<Member[]> {
  const all: Member[] = [];
  for (let n = 1; n <= count; n += 1) {
    const registration = `CLUB ${n}`;
    const ids = await fitted(shop, {
      owner: { email: `member${n}@example.org`, name: `Member Number-${n}`, ...more },
      car: { registration },
      top: { fittedOn: '2025-03-10', powered: n % 3 === 0 },
    });
    all.push({ ...ids, registration });
  }
  return all;
}

export const DAY: CareDayInput = {
  heldOn: '2026-07-11',
  place: 'Yard of the sample room',
  from: '09:00',
  until: '12:00',
  breaks: [{ from: '10:30', until: '10:45' }],
  benches: 2,
  helpers: [{ name: 'Ann Rivet' }, { name: 'Bob Thimble' }],
  handMinutes: 30,
  poweredMinutes: 45,
  stepMinutes: 15,
};

/** A care day to which all these members are asked; its id. */
export async function careDay(
  shop: Workshop,
  caller: Caller,
  asked: readonly Member[],
  said: Partial<CareDayInput> = {},
): Promise<string> {
  const id = await planCareDay(shop.context, caller, { ...DAY, ...said });
  const carIds = asked.map(({ carId }) => carId);
  if (carIds.length > 0) await askToCareDay(shop.context, caller, id, carIds);
  return id;
}

/** The link to a care day in the last letter to a car's owner that has one. */
export async function chooseLink(shop: Workshop, { carId }: Member): Promise<string> {
  const { body } = await shop.get(`/v1/letters?carId=${carId}&limit=200`);
  const letters: { text: string }[] = body.items;
  const links = letters.flatMap(
    ({ text }) => /https:\/\/care\.example\.org(\/d\/\S+)/.exec(text)?.slice(1) ?? [],
  );
  return links.at(-1) ?? '';
}

export const timesOn = (html: string) =>
  [...html.matchAll(/name="time" value="([^"]+)"/g)].map((m) => String(m[1]));
export const wasOn = (html: string) => /name="was" value="([^"]+)"/.exec(html)?.[1] ?? '';
