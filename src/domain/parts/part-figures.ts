import type { Figure, FigureTable, FigureValues } from '../figures/figure.ts';

function chance(value: number, source: string): Figure {
  return { value, unit: 'chance a visit', mark: 'shop rule', source, min: 0, max: 1 };
}

function weeks(value: number): Figure {
  const source = 'time from ordering to having it, until the shop enters its own';
  return { value, unit: 'weeks', mark: 'shop rule', source, min: 0, max: 52 };
}

/**
 * Chances of need and lead times. Nobody publishes how often a frame needs what, so all are shop
 * rules, to be replaced by the shop's own record.
 */
export const PART_FIGURES = {
  service: {
    value: 0.95,
    unit: 'share',
    mark: 'shop rule',
    source: 'chance of not running out before the next delivery',
    min: 0.5,
    max: 0.999,
  },
  bookedComes: chance(0.9, 'one booked visit in ten is not kept; from memory'),
  expectedComes: chance(0.6, 'share of owners who come once reminded; from memory'),
  recordWeight: {
    value: 10,
    unit: 'visits',
    mark: 'shop rule',
    source: 'visits of one frame pattern at which its own record weighs as much as the figure here',
    min: 1,
    max: 100,
  },

  washerGood: chance(0.02, 'washer pair at a joint that is good or was never read'),
  washerWatch: chance(0.1, 'washer pair at a joint to watch'),
  washerPlan: chance(0.6, 'washer pair at a joint planned for work'),
  washerAct: chance(0.9, 'washer pair at a joint that must not be left'),
  washerMissing: chance(0.95, 'washer pair at a joint with a washer missing'),

  pinGood: chance(0.002, 'new pin or bolt at a joint that is good or was never read'),
  pinWatch: chance(0.01, 'new pin or bolt at a joint to watch'),
  pinPlan: chance(0.08, 'new pin or bolt at a joint planned for work'),
  pinAct: chance(0.5, 'new pin or bolt at a joint that must not be left'),
  pinBroken: chance(0.95, 'new pin or bolt at a joint found seized, oval or sheared'),

  oil: chance(0.1, 'a small bottle of oil lasts about ten visits'),
  proofer: chance(0.35, 'cloth cover proofed on the visit'),
  tailgateSeal: chance(0.08, 'tailgate seal found lost or perished'),
  cablePair: chance(0.04, 'side cable frayed or broken, both renewed'),

  leadWasherPair: weeks(2),
  leadLinkSet: weeks(3),
  leadMainSet: weeks(3),
  leadHeaderPin: weeks(3),
  leadLockNut: weeks(1),
  leadOil: weeks(1),
  leadProofer: weeks(1),
  leadTailgateSeal: weeks(3),
  leadCablePair: weeks(4),
  leadCover: weeks(6),
  leadPadding: weeks(4),
  leadLining: weeks(5),
  leadStrap: weeks(2),
  leadRearWindow: weeks(4),
  leadWindowFrame: weeks(4),
  leadWindowSeal: weeks(3),
  leadHoldDownTab: weeks(2),
} as const satisfies FigureTable;

export type PartValues = FigureValues<typeof PART_FIGURES>;
