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
  'padding',
  'lining',
  'strap',
  'rear-window',
  'window-frame',
  'window-seal',
  'hold-down-tab',
] as const;
export type Part = (typeof PARTS)[number];

export interface PartKit {
  readonly label: string;
  /** What one piece is. */
  readonly piece: string;
  readonly lead: keyof PartValues & `lead${string}`;
  /** Bought for one car: never forecast, only once its owner has ordered the work. */
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
  padding: {
    label: 'padding',
    piece: 'padding and interliner for one car',
    lead: 'leadPadding',
    onOrderOnly: true,
  },
  lining: { label: 'lining', piece: 'lining for one car', lead: 'leadLining', onOrderOnly: true },
  strap: {
    label: 'strap',
    piece: 'retaining or elastic strap for one car',
    lead: 'leadStrap',
    onOrderOnly: true,
  },
  'rear-window': {
    label: 'rear window',
    piece: 'panel or rear section with its window, for one car',
    lead: 'leadRearWindow',
    onOrderOnly: true,
  },
  'window-frame': {
    label: 'rear window frame',
    piece: 'frame in one piece with its nuts',
    lead: 'leadWindowFrame',
    onOrderOnly: true,
  },
  'window-seal': {
    label: 'rear window seal',
    piece: 'seal for one rear window',
    lead: 'leadWindowSeal',
    onOrderOnly: true,
  },
  'hold-down-tab': {
    label: 'hold-down tab',
    piece: 'tab, screw and trim for one rear corner',
    lead: 'leadHoldDownTab',
    onOrderOnly: true,
  },
};
