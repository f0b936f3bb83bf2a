import type { FigureTable, FigureValues } from '../figures/figure.ts';

const OWN = 'chosen for this project; nobody published a figure';
const days = (value: number, min: number, max: number) =>
  ({ value, unit: 'days', mark: 'shop rule', source: OWN, min, max }) as const;

/**
 * When the round writes, and for how long a missed letter is still worth writing. The bounds of the
 * two late letters do not overlap, so they cannot be set out of order.
 */
export const ROUND_FIGURES = {
  aheadDays: days(28, 1, 90),
  firstLateDays: days(21, 1, 40),
  secondLateDays: days(60, 41, 180),
  lateSayableDays: days(30, 1, 180),
  /** A private owner has nobody who rings: after the second late letter one comes this often. */
  privateLateDays: days(180, 60, 365),
  carePauseDays: days(21, 1, 180),
  warrantyAheadDays: days(60, 1, 180),
} as const satisfies FigureTable;

export type RoundFigures = FigureValues<typeof ROUND_FIGURES>;
