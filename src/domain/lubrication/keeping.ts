import type { FigureTable, FigureValues } from '../figures/figure.ts';
import { valuesOf } from '../figures/figure.ts';
import type { SteelClass } from './corrosion.ts';
import { STEEL_CLASSES } from './corrosion.ts';

/** Where a car stands. */
export type Place = 'heated-garage' | 'dry-garage' | 'damp-garage' | 'street' | 'outdoors';

/** Which salt reaches it: of winter roads, or of the sea within a few km, within 1 km, on the shore. */
export type Salt = 'none' | 'winter-roads' | 'near-sea' | 'by-sea' | 'sea-front';

/** When it is driven. */
export type Use = 'summer' | 'all-year' | 'daily';

/** How a car is kept, as its owner answers; null where nobody has told yet. */
export interface Keeping {
  readonly place: Place | null;
  readonly salt: Salt | null;
  readonly use: Use | null;
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

const TAKEN =
  'which ISO 9223 class a keeping is taken for; nobody published one for cars. 1 is C1 … 5 is C5, 6 is CX';
const taken = (value: number) =>
  ({ value, unit: 'class', mark: 'shop rule', source: TAKEN, min: 1, max: 6 }) as const;

/**
 * The class that a keeping is taken for: salt by shelter. A dry garage helps nothing against road salt
 * while the car is driven in winter, because it comes in wet.
 */
export const KEEPING_FIGURES = {
  awayOpen: taken(3),
  awayDry: taken(2),
  awayHeated: taken(1),
  winterRoadsOpen: taken(4),
  winterRoadsDry: taken(4),
  winterRoadsHeated: taken(3),
  nearSeaOpen: taken(4),
  nearSeaDry: taken(3),
  nearSeaHeated: taken(2),
  bySeaOpen: taken(5),
  bySeaDry: taken(4),
  bySeaHeated: taken(3),
  seaFrontOpen: taken(6),
  seaFrontDry: taken(5),
  seaFrontHeated: taken(4),
} as const satisfies FigureTable;

type KeepingValues = FigureValues<typeof KEEPING_FIGURES>;

const SALT_NAMES = {
  none: 'away',
  'winter-roads': 'winterRoads',
  'near-sea': 'nearSea',
  'by-sea': 'bySea',
  'sea-front': 'seaFront',
} as const satisfies Record<Salt, string>;
const SHELTER_NAMES = { open: 'Open', dry: 'Dry', heated: 'Heated' } as const satisfies Record<
  Shelter,
  string
>;

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

/**
 * Whether the salt of winter roads does not reach a car: it is driven in summer only and stands in a
 * garage. In the open it gets the spray that others throw, which is carried past 150 m from the road
 * (one symposium paper; from memory).
 */
function isSpared({ place, salt, use }: ToldWhere): boolean {
  const open = place === 'street' || place === 'outdoors';
  return salt === 'winter-roads' && use === 'summer' && !open;
}

type KeptHow = Pick<Keeping, 'place' | 'salt' | 'use'>;

/** A keeping that tells enough to be taken for a class. */
type ToldWhere = KeptHow & { readonly place: Place; readonly salt: Salt };

/** What an owner is asked about the keeping of a car, in the order of asking. */
export const KEEPING_QUESTIONS = ['place', 'salt', 'use'] as const;
export type KeepingQuestion = (typeof KEEPING_QUESTIONS)[number];

/** What nobody has told yet of how a car is kept. */
export function untoldOf(keeping: KeptHow): KeepingQuestion[] {
  return KEEPING_QUESTIONS.filter((question) => keeping[question] === null);
}

/** Whether a keeping tells where the car stands and which salt reaches it. */
export function tellsWhere(keeping: KeptHow): keeping is ToldWhere {
  return keeping.place !== null && keeping.salt !== null;
}

const UNTOLD_WORDS: Readonly<Record<KeepingQuestion, string>> = {
  place: 'where it stands',
  salt: 'which salt reaches it',
  use: 'when it is driven',
};

/** What was not told, in words: 'where it stands, which salt reaches it'. */
export function untoldInWords(untold: readonly KeepingQuestion[]): string {
  return untold.map((question) => UNTOLD_WORDS[question]).join(', ');
}

/** The steel class that a keeping is taken for (shop rule; the classes are those of ISO 9223). */
export function classOfKeeping(
  keeping: ToldWhere,
  figures: KeepingValues = valuesOf(KEEPING_FIGURES),
): SteelClass {
  const salt = SALT_NAMES[isSpared(keeping) ? 'none' : keeping.salt];
  const value = figures[`${salt}${SHELTER_NAMES[SHELTER[keeping.place]]}`];
  return STEEL_CLASSES[Math.round(value) - 1] ?? 'CX';
}

/** A keeping in words: 'outdoors by the sea'. */
export function keepingInWords(keeping: ToldWhere): string {
  const comma = keeping.salt === 'winter-roads' ? ',' : '';
  const rest = isSpared(keeping) ? ' but not driven in winter' : '';
  return `${PLACE_WORDS[keeping.place]}${comma} ${SALT_WORDS[keeping.salt]}${rest}`;
}

/**
 * Whether the climate of open air is that of a place: it is not where it is heated, nor in a dry garage,
 * which keeps off rain and some of the salt. ISO 9223:2012 classes the air that metal stands in, sheltered
 * or not, by that air itself; its informative table names heated rooms for C1 and unheated ones with some
 * condensation for C2 (from memory).
 */
export function isOpenAir({ place }: Pick<Keeping, 'place'>): boolean {
  return place === null || SHELTER[place] === 'open';
}
