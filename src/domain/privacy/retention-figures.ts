import type { FigureTable } from '../figures/figure.ts';

const OWN = 'chosen for this project; nobody published a figure';
const months = (value: number, max: number) =>
  ({ value, unit: 'months; 0 keeps them', mark: 'shop rule', source: OWN, min: 0, max }) as const;

/**
 * How long records of a kind are kept; 0 keeps them until somebody erases them. Only the sign-in log
 * goes by itself by default: it is there to notice a stranger, and half a year is enough for that.
 * What else an organisation may or must part with is for its licensed advice to say.
 */
export const RETENTION_FIGURES = {
  positionLogMonths: months(0, 240),
  letterBodyMonths: months(0, 240),
  pastCareMonths: months(0, 480),
  signInLogMonths: months(6, 60),
  trailMonths: months(0, 480),
} as const satisfies FigureTable;
