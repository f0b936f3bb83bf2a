import { hasRight } from '../../../domain/people/rights.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from './frame.ts';
import type { OrganisationKind } from '../../../domain/organisation-kind.ts';

type Nav = NonNullable<Frame['nav']>;

/** A page that stands at the head of all pages; its word is `nav.` with its name. */
export interface Place {
  readonly here: string;
  readonly href: string;
}

const TODAY = { here: 'today', href: '/today' };
const LETTERS = { here: 'letters', href: '/letters' };
const MEMBERS = { here: 'members', href: '/members' };
const CARE_DAY = { here: 'care-day', href: '/care-day' };
const SETTINGS = { here: 'settings', href: '/settings' };
const TOPS = { here: 'tops', href: '/tops' };
const FAULTS = { here: 'faults', href: '/fault-finding' };
const STOCK = { here: 'stock', href: '/stock' };
const PEOPLE = { here: 'people', href: '/me' };

/** What leads where, by the kind of organisation; the first is the page that a sign-in opens. */
export const PLACES: Readonly<Record<OrganisationKind, readonly [Place, ...Place[]]>> = {
  shop: [TODAY, TOPS, FAULTS, STOCK, LETTERS, SETTINGS, PEOPLE],
  club: [MEMBERS, CARE_DAY, TODAY, FAULTS, STOCK, LETTERS, SETTINGS, PEOPLE],
  private: [{ here: 'mine', href: '/mine' }, LETTERS, SETTINGS, PEOPLE],
};

/** The page that a sign-in opens. */
export function frontDoor(kind: OrganisationKind): string {
  return PLACES[kind][0].href;
}

/** The page that is home to whoever is signed in; a volunteer has the care day alone. */
export function homeOf(
  visitor: Parameters<typeof hasRight>[0] & { kind: OrganisationKind },
): string {
  return hasRight(visitor, 'read-records') ? frontDoor(visitor.kind) : '/care-day';
}

/** What stands at the head of a page in words; a private owner has nobody to find. */
export function headOf({ here, find = '', kind = 'shop' }: Nav, { say, language }: Voice) {
  const places = PLACES[kind].map((place) => ({ ...place, words: say(`nav.${place.here}`) }));
  return { here, find, places, finds: kind !== 'private', say, lang: language };
}
