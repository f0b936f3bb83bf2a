import type { FigureTable, FigureValues } from '../figure.ts';
import { valuesOf } from '../figure.ts';

const OWN = 'chosen for this project; nobody published a figure';
const days = (value: number, max: number) =>
  ({ value, unit: 'days', mark: 'shop rule', source: OWN, min: 1, max }) as const;

/** When the round writes, and for how long a missed letter is still worth writing. */
export const ROUND_FIGURES = {
  aheadDays: days(28, 90),
  firstLateDays: days(21, 59),
  secondLateDays: days(60, 180),
  lateSayableDays: days(30, 180),
  carePauseDays: days(21, 180),
  warrantyAheadDays: days(60, 180),
} as const satisfies FigureTable;

export type RoundFigures = FigureValues<typeof ROUND_FIGURES>;
export const ROUND_DEFAULTS: RoundFigures = valuesOf(ROUND_FIGURES);
