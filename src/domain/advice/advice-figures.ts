import type { FigureTable } from '../figures/figure.ts';

/** The numbers behind the choice of care advice. None of them is published. */
export const ADVICE_FIGURES = {
  perNote: {
    value: 2,
    unit: 'pieces of advice',
    mark: 'shop rule',
    source: 'one thought at a time is read, a list is not',
    min: 1,
    max: 6,
  },
  perFirstNote: {
    value: 5,
    unit: 'pieces of advice',
    mark: 'shop rule',
    source: 'the note of the fitting day carries what must be known before the first fold',
    min: 1,
    max: 10,
  },
  firstNoteDays: {
    value: 2,
    unit: 'days after fitting',
    mark: 'shop rule',
    source: 'as long as a note still counts as the one of the fitting day',
    min: 0,
    max: 7,
  },
  repeatMonths: {
    value: 10,
    unit: 'months',
    mark: 'shop rule',
    source: 'once a season is help, twice is nagging',
    min: 10,
    max: 60,
  },
  eventFitness: {
    value: 2,
    unit: 'factor',
    mark: 'shop rule',
    source: 'advice on what has just happened is heeded',
    min: 1,
    max: 5,
  },
  newTopFitness: {
    value: 1.5,
    unit: 'factor',
    mark: 'shop rule',
    source: 'what counts from the fitting day comes once and goes before the season',
    min: 1,
    max: 5,
  },
  namedFitness: {
    value: 1.25,
    unit: 'factor',
    mark: 'shop rule',
    source: 'advice for this very material, window or keeping fits better than general advice',
    min: 1,
    max: 3,
  },
  saidBeforeFitness: {
    value: 0.5,
    unit: 'factor',
    mark: 'shop rule',
    source: 'what the owner has not read yet comes first',
    min: 0.1,
    max: 1,
  },
} as const satisfies FigureTable;
