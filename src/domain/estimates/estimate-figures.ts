import type { FigureTable } from '../figures/figure.ts';

/** What is said of estimates besides their prices, which are the shop's own. */
export const ESTIMATE_FIGURES = {
  holdsDays: {
    value: 30,
    unit: 'days',
    mark: 'shop rule',
    source: 'an estimate holds so long from the day it is sent; the letter names the last day',
    min: 1,
    max: 365,
  },
} as const satisfies FigureTable;
