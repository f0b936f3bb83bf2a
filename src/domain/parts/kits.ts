import type { PartValues } from './part-figures.ts';

/** A thing the shop keeps or orders. */
export const PARTS = [
  'washer-pair',
  'link-set',
  'main-set',
  'header-pin',
  'lock-nut',
  'oil',
  'proofer',
  'tailgate-seal',
  'cable-pair',
  'cover',
] as const;
export type Part = (typeof PARTS)[number];

export interface PartKit {
  readonly label: string;
  /** What one piece is. */
  readonly piece: string;
  readonly lead: keyof PartValues & `lead${string}`;
  /** Made for one car: never forecast, bought only when the owner has ordered it. */
  readonly onOrderOnly?: true;
}

/** The parts of the work on frames, and what one piece of each holds. Common practice, no source. */
export const KITS: Readonly<Record<Part, PartKit>> = {
  'washer-pair': {
    label: 'spacer washers',
    piece: 'two plastic spacers for one joint',
    lead: 'leadWasherPair',
  },
  'link-set': {
    label: 'link repair set',
    piece: 'bolt, lock nut and spacers for a link, knuckle or stick joint',
    lead: 'leadLinkSet',
  },
  'main-set': {
    label: 'main repair set',
    piece: 'through bolt, lock nut, spacers and steel washers for a main pivot',
    lead: 'leadMainSet',
  },
  'header-pin': {
    label: 'header pin',
    piece: 'pin and spacers for a header hinge',
    lead: 'leadHeaderPin',
  },
  'lock-nut': {
    label: 'nylon-insert lock nut',
    piece: 'new nut for a repair bolt that is opened',
    lead: 'leadLockNut',
  },
  oil: { label: 'light oil', piece: 'small bottle', lead: 'leadOil' },
  proofer: { label: 'proofer for cloth', piece: 'can for one cover', lead: 'leadProofer' },
  'tailgate-seal': {
    label: 'tailgate seal',
    piece: 'length for one lid',
    lead: 'leadTailgateSeal',
  },
  'cable-pair': {
    label: 'side cables',
    piece: 'left and right cable of one length',
    lead: 'leadCablePair',
  },
  cover: { label: 'cover', piece: 'cover for one car', lead: 'leadCover', onOrderOnly: true },
};
