import type { SteelClass } from './corrosion.ts';

/** Where a car stands. */
export type Place = 'heated-garage' | 'dry-garage' | 'damp-garage' | 'street' | 'outdoors';

/** Which salt reaches it: of winter roads, or of the sea within a few km, within 1 km, on the shore. */
export type Salt = 'none' | 'winter-roads' | 'near-sea' | 'by-sea' | 'sea-front';

/** When it is driven. */
export type Use = 'summer' | 'all-year' | 'daily';

/** How a car is kept, as its owner answers. */
export interface Keeping {
  readonly place: Place;
  readonly salt: Salt;
  readonly use: Use;
  readonly foldsPerYear?: number | undefined;
}

export const PLACES = [
  'heated-garage',
  'dry-garage',
  'damp-garage',
  'street',
  'outdoors',
] as const satisfies readonly Place[];
export const SALTS = [
  'none',
  'winter-roads',
  'near-sea',
  'by-sea',
  'sea-front',
] as const satisfies readonly Salt[];
export const USES = ['summer', 'all-year', 'daily'] as const satisfies readonly Use[];

type Shelter = 'open' | 'dry' | 'heated';

const SHELTER: Readonly<Record<Place, Shelter>> = {
  'heated-garage': 'heated',
  'dry-garage': 'dry',
  'damp-garage': 'open',
  street: 'open',
  outdoors: 'open',
};

// Which class a keeping is taken for was published by nobody: a shop rule. A dry garage helps
// nothing against road salt, because the car comes in wet.
const CLASS_TAKEN: Readonly<Record<Salt, Readonly<Record<Shelter, SteelClass>>>> = {
  none: { open: 'C3', dry: 'C2', heated: 'C1' },
  'winter-roads': { open: 'C4', dry: 'C4', heated: 'C3' },
  'near-sea': { open: 'C4', dry: 'C3', heated: 'C2' },
  'by-sea': { open: 'C5', dry: 'C4', heated: 'C3' },
  'sea-front': { open: 'CX', dry: 'C5', heated: 'C4' },
};

const PLACE_WORDS: Readonly<Record<Place, string>> = {
  'heated-garage': 'heated garage',
  'dry-garage': 'dry garage',
  'damp-garage': 'damp garage',
  street: 'street',
  outdoors: 'outdoors',
};

const SALT_WORDS: Readonly<Record<Salt, string>> = {
  none: 'away from salt',
  'winter-roads': 'salted winter roads',
  'near-sea': 'a few km from the sea',
  'by-sea': 'by the sea',
  'sea-front': 'on the sea front',
};

/** The steel class that a keeping is taken for (shop rule; the classes are those of ISO 9223). */
export function classOfKeeping(keeping: Pick<Keeping, 'place' | 'salt'>): SteelClass {
  return CLASS_TAKEN[keeping.salt][SHELTER[keeping.place]];
}

/** A keeping in words: 'outdoors by the sea'. */
export function keepingInWords(keeping: Pick<Keeping, 'place' | 'salt'>): string {
  const comma = keeping.salt === 'winter-roads' ? ',' : '';
  return `${PLACE_WORDS[keeping.place]}${comma} ${SALT_WORDS[keeping.salt]}`;
}
