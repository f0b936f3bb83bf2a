import type { FigureTable } from '../figures/figure.ts';

const OWN = 'chosen for a club’s day on borrowed benches; nobody published a figure';

/** What a care day begins with; the day itself may say otherwise. */
export const CARE_DAY_FIGURES = {
  handMinutes: { value: 30, unit: 'min', mark: 'shop rule', source: OWN, min: 10, max: 240 },
  // The panels of a powered top come off before its joints can be reached.
  poweredMinutes: { value: 45, unit: 'min', mark: 'shop rule', source: OWN, min: 10, max: 240 },
  stepMinutes: { value: 15, unit: 'min', mark: 'shop rule', source: OWN, min: 5, max: 60 },
  // Days before it on which a member may still choose, move or give back a time alone.
  changeDays: { value: 1, unit: 'days', mark: 'shop rule', source: OWN, min: 0, max: 28 },
} as const satisfies FigureTable;
