import type { FigureTable, FigureValues } from '../figures/figure.ts';

/** Numbers behind the outlook of the practice, for as long as the shop has none of its own. */
export const PRACTICE_FIGURES = {
  usableWeeks: {
    value: 32,
    unit: 'weeks a year',
    mark: 'shop rule',
    source: 'weeks of a year in which care visits are done',
    min: 1,
    max: 53,
  },
  yearlyReturn: {
    value: 0.6,
    unit: 'share',
    mark: 'shop rule',
    source: 'owners who come again each year once reminded; from memory',
    min: 0,
    max: 1,
  },
  yearlyReturnLow: {
    value: 0.5,
    unit: 'share',
    mark: 'shop rule',
    source: 'low end of that share; from memory',
    min: 0,
    max: 1,
  },
  yearlyReturnHigh: {
    value: 0.8,
    unit: 'share',
    mark: 'shop rule',
    source: 'high end of that share; from memory',
    min: 0,
    max: 1,
  },
  fewestCarsToSay: {
    value: 5,
    unit: 'cars',
    mark: 'shop rule',
    source: 'fewer of one frame pattern would tell of single members',
    min: 3,
    max: 50,
  },
  fewestCarsForShare: {
    value: 10,
    unit: 'cars',
    mark: 'shop rule',
    source: 'below it the interval of a share covers most of what there is',
    min: 5,
    max: 200,
  },
} as const satisfies FigureTable;

export type PracticeValues = FigureValues<typeof PRACTICE_FIGURES>;
