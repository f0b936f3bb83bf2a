import type { FigureTable, FigureValues } from '../figures/figure.ts';

/** Numbers that decide when a life is fitted and what is said of it. */
export const LIFE_FIGURES = {
  minFailures: {
    value: 5,
    unit: 'failures',
    mark: 'shop rule',
    source: 'fewest failures from which the spread of lives is fitted at all',
    min: 5,
    max: 100,
  },
  shapeConfidence: {
    value: 0.95,
    unit: 'share',
    mark: 'shop rule',
    source: 'confidence of the range given for the shape; 95 % by custom',
    min: 0.5,
    max: 0.999,
  },
} as const satisfies FigureTable;

export type LifeValues = FigureValues<typeof LIFE_FIGURES>;
