import type { Figure, FigureTable, FigureValues } from '../figures/figure.ts';

function chance(value: number, source: string): Figure {
  return { value, unit: 'chance in 8 weeks', mark: 'shop rule', source, min: 0, max: 0.99 };
}

function share(value: number, source: string): Figure {
  return { value, unit: 'share', mark: 'shop rule', source, min: 0, max: 1 };
}

function hours(value: number, source: string): Figure {
  return { value, unit: 'h', mark: 'shop rule', source, min: 0, max: 200 };
}

function minutes(value: number, source: string): Figure {
  return { value, unit: 'minutes', mark: 'shop rule', source, min: 1, max: 600 };
}

/**
 * What each cause leads to within eight weeks if nothing is done, what that damage costs, and how long
 * the cure takes. Nobody publishes failure rates of folding frames, so all are shop rules; the chances
 * of joints give way to the organisation's own outcomes where it has enough of them.
 */
export const CALL_FIGURES = {
  foldedOverDay: chance(
    0.02,
    'cover spoilt for each day folded past the limit: creases, shrinking',
  ),
  foldedOverMost: chance(0.3, 'the most that days over the limit add'),
  damp: chance(0.25, 'mould in the lining of a top that was folded damp'),
  overdueMonth: chance(0.01, 'joint spoilt for each 30 days that the oiling is overdue'),
  overdueMost: chance(0.15, 'the most that overdue oiling adds'),
  dry: chance(0.02, 'a dry joint rusts fast'),
  stiff: chance(0.08, 'stiff joint: forcing it is how pins shear'),
  repaired: chance(
    0.03,
    'a joint that was stiff or was bolted, not looked at since, binds or works loose',
  ),
  loose: chance(0.04, 'loose joint wears its hole'),
  oval: chance(0.1, 'oval hole tears its leaf'),
  seized: chance(0.4, 'seized joint shears when the top is next forced'),
  sheared: chance(0.6, 'sheared joint twists the frame when the top is next moved'),
  washerMissing: chance(0.03, 'frame bent by each washer missing: it sways'),
  lostWasherHarm: share(0.25, 'share of lost washers that bend the frame before the next visit'),
  frameMoving: chance(0.08, 'a frame that sways or has twisted bends further'),
  coverShrinking: chance(0.05, 'a shrunk cover opens at its edge or cable and lets water in'),
  windowAgeing: chance(
    0.06,
    'a window that is brittle or lifts at its bond fails, or lets water in',
  ),
  sealLost: chance(0.06, 'rust in the lid without its seal'),

  coverHours: hours(14, 'bench time for a new cover, lined four-seat; from memory'),
  coverPartsHours: hours(10, 'price of a cover in bench hours'),
  liningHours: hours(4, 'drying, cleaning and airing a mouldy lining'),
  liningPartsHours: hours(0.5, 'cleaner, in bench hours'),
  repairHours: hours(6, 'drilling out a sheared pin and setting the joint right'),
  repairPartsHours: hours(0.5, 'repair set of a joint, in bench hours'),
  frameHours: hours(10, 'a frame that was moved on a bad joint, straightened and set; from memory'),
  framePartsHours: hours(3, 'arms, links and sets, in bench hours'),
  windowHours: hours(5, 'bench time for a new window'),
  windowPartsHours: hours(4, 'price of a window in bench hours'),
  lidHours: hours(6, 'rust cut out and painted'),
  lidPartsHours: hours(2, 'paint and panel, in bench hours'),

  ringMinutes: minutes(
    2,
    'asking an owner to raise or dry the top, or agreeing on a day for agreed work',
  ),
  jointMinutes: minutes(45, 'freeing, oiling and looking at one joint'),
  washerMinutes: minutes(45, 'new washers in one joint'),
  repairMinutes: minutes(120, 'one joint drilled out and set right before it breaks more'),
  frameMinutes: minutes(180, 'sway traced to its joints and set right'),
  lookMinutes: minutes(30, 'a look at a window with the owner, or at a joint again'),
  sealMinutes: minutes(20, 'a new seal pressed in'),

  priorSpans: {
    value: 20,
    unit: 'spans of 8 weeks',
    mark: 'shop rule',
    source: 'how many spans of its own an organisation needs to weigh as much as the shop rule',
    min: 1,
    max: 1000,
  },
  enoughSpans: {
    value: 40,
    unit: 'spans of 8 weeks',
    mark: 'shop rule',
    source: 'fewer spans on record leave the shop rule as it is',
    min: 1,
    max: 10_000,
  },

  afterReached: share(0.5, 'how far a talk with the owner lowers the rank at first'),
  afterNoAnswer: share(0.15, 'how far a call nobody answered lowers the rank at first'),
  afterMessage: share(0.3, 'how far a message left lowers the rank at first'),
  afterBooked: share(0.95, 'how far a date agreed lowers the rank at first'),
  afterDeclined: share(0.8, 'how far a "no, thank you" lowers the rank at first'),
  callHalfLife: {
    value: 28,
    unit: 'days',
    mark: 'shop rule',
    source: 'days after which a call weighs half as much',
    min: 1,
    max: 365,
  },
} as const satisfies FigureTable;

export type CallValues = FigureValues<typeof CALL_FIGURES>;
