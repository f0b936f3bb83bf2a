import type { FigureTable, FigureValues } from '../figures/figure.ts';

const OWN = 'chosen for this project; nobody published a figure';
const rule = (value: number, unit: string, min: number, max: number, source: string = OWN) =>
  ({ value, unit, mark: 'shop rule', source, min, max }) as const;

/** How long what came back from an address is remembered, and how much of it is too much. */
export const STANDING_FIGURES = {
  softFailures: rule(
    3,
    'letters that came back for a passing reason',
    2,
    10,
    'RFC 3463 calls such failures passing and gives no number after which they are not',
  ),
  softDays: rule(30, 'days in which they count together', 7, 180),
  alertDays: rule(30, 'days that a receiver’s objection is shown to the shop', 7, 365),
  reportDays: rule(14, 'days after a visit that its report is still worth sending', 1, 90),
} as const satisfies FigureTable;

export type StandingFigures = FigureValues<typeof STANDING_FIGURES>;
