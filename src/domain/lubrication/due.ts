import type { Day } from '../calendar/day.ts';
import { addDays, dueDay } from '../calendar/day.ts';
import type { FigureTable, FigureValues } from '../figures/figure.ts';
import { valuesOf } from '../figures/figure.ts';

const OWN = 'chosen for this project; nobody published a figure';

export const DUE_FIGURES = {
  windowBeforeDays: { value: 28, unit: 'days', mark: 'shop rule', source: OWN, min: 0, max: 90 },
  windowAfterDays: { value: 21, unit: 'days', mark: 'shop rule', source: OWN, min: 0, max: 90 },
} as const satisfies FigureTable;

export interface DueInput {
  readonly fittedOn: Day;
  /** Day of the last completed lubrication. */
  readonly lastOn: Day | null;
  readonly intervalMonths: number;
  readonly today: Day;
}

export interface LubricationDue {
  readonly intervalMonths: number;
  readonly lastOn: Day | null;
  readonly dueOn: Day;
  /** First and last day of the window, both inside it. */
  readonly windowFrom: Day;
  readonly windowTo: Day;
  /** 'ahead' before the window, 'open' inside it, 'late' after it. */
  readonly state: 'ahead' | 'open' | 'late';
}

/** When a top is due: one interval after the last lubrication, else after the day it was fitted. */
export function lubricationDue(
  { fittedOn, lastOn, intervalMonths, today }: DueInput,
  figures: FigureValues<typeof DUE_FIGURES> = valuesOf(DUE_FIGURES),
): LubricationDue {
  const dueOn = dueDay(lastOn ?? fittedOn, intervalMonths, 1);
  const windowFrom = addDays(dueOn, -figures.windowBeforeDays);
  const windowTo = addDays(dueOn, figures.windowAfterDays);
  const open = today <= windowTo ? 'open' : 'late';
  const state = today < windowFrom ? 'ahead' : open;
  return { intervalMonths, lastOn, dueOn, windowFrom, windowTo, state };
}
