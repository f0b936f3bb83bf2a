import type { FigureTable, FigureValues } from '../figures/figure.ts';

const OWN = 'chosen for this project; nobody published a figure';

export const FOLDING_FIGURES = {
  foldedLimitDays: {
    value: 3,
    unit: 'days',
    mark: 'shop rule',
    source: 'for new cars whose handbook names no limit; 3 is common practice, no source',
    min: 1,
    max: 14,
  },
  dampLimitDays: { value: 1, unit: 'days', mark: 'shop rule', source: OWN, min: 1, max: 7 },
  nearingDays: { value: 1, unit: 'days', mark: 'shop rule', source: OWN, min: 1, max: 7 },
  properRestHours: { value: 12, unit: 'h', mark: 'shop rule', source: OWN, min: 1, max: 168 },
  dryingHours: {
    value: 12,
    unit: 'h',
    mark: 'shop rule',
    source: 'how long a top that was put up damp takes to dry; nobody published a figure',
    min: 0,
    max: 72,
  },
  futureMinutes: {
    value: 5,
    unit: 'min that an entry may lie ahead, for clocks of telephones that run fast',
    mark: 'shop rule',
    source: OWN,
    min: 0,
    max: 60,
  },
  stillEveryDays: { value: 7, unit: 'days', mark: 'shop rule', source: OWN, min: 1, max: 28 },
} as const satisfies FigureTable;

export type FoldingValues = FigureValues<typeof FOLDING_FIGURES>;
