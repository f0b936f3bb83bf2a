import type { Figure, FigureTable, FigureValues } from '../figures/figure.ts';

function chance(value: number, source: string): Figure {
  return { value, unit: 'chance in 8 weeks', mark: 'shop rule', source, min: 0, max: 0.99 };
}

function share(value: number, source: string): Figure {
  return { value, unit: 'share', mark: 'shop rule', source, min: 0, max: 1 };
}

/**
 * Chance that each sign alone leads to damage within eight weeks, and how calls made lower the
 * rank. Nobody publishes failure rates of folding frames, so all are shop rules. A state word
 * comes on top of the verdict that it has already earned, so the figures are kept low.
 */
export const CALL_FIGURES = {
  verdictGood: chance(0, 'frame with every joint good'),
  verdictWatch: chance(0.01, 'worst joint to be watched'),
  verdictPlan: chance(0.04, 'worst joint planned for work'),
  verdictAct: chance(0.12, 'worst joint past use'),

  stateFree: chance(0, 'free joint'),
  stateDry: chance(0.01, 'dry joint'),
  stateStiff: chance(0.08, 'stiff joint: forcing it is how pins shear'),
  stateLoose: chance(0.04, 'loose joint wears its hole'),
  stateOval: chance(0.08, 'oval hole'),
  stateSeized: chance(0.4, 'seized joint shears when the top is next forced'),
  stateSheared: chance(0.6, 'sheared joint twists the frame when the top is next moved'),

  washerMissing: chance(0.03, 'each washer missing'),
  overdueMonth: chance(0.015, 'each 30 days that the oiling is overdue'),
  overdueMost: chance(0.15, 'the most that overdue oiling adds'),
  foldedOverDay: chance(0.02, 'each day folded past the limit: creases, mould'),
  foldedOverMost: chance(0.3, 'the most that days over the limit add'),
  damp: chance(0.1, 'folded damp: mould and rust'),
  lostWasherHarm: share(0.25, 'share of lost washers that lead to damage before the next visit'),

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

  repairHours: {
    value: 6,
    unit: 'h',
    mark: 'shop rule',
    source: 'bench time to drill out a sheared pin and set the joint right',
    min: 0.25,
    max: 100,
  },
  frameHours: {
    value: 10,
    unit: 'h',
    mark: 'shop rule',
    source: 'bench time for a frame that has been moved on a sheared joint; from memory',
    min: 0.25,
    max: 100,
  },
} as const satisfies FigureTable;

export type CallValues = FigureValues<typeof CALL_FIGURES>;
