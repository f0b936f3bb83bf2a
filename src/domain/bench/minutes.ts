import { valuesOf } from '../figures/figure.ts';
import type { FigureValues } from '../figures/figure.ts';
import { BENCH_FIGURES, PLACE_MINUTES } from './bench-figures.ts';

export const VISIT_KINDS = ['lubrication', 'settling', 'look', 'repair'] as const;
export type VisitKind = (typeof VISIT_KINDS)[number];

/** Visits of one kind to one frame pattern that were done: how many, and the minutes they took together. */
export interface DoneVisits {
  readonly visits: number;
  readonly minutes: number;
}

/** The minutes to reckon with for a visit, and where they come from. */
export interface ExpectedMinutes {
  readonly minutes: number;
  /** Half hours, rounded up, at least one. */
  readonly places: number;
  /** The shop's figure before it had visits of its own, and how many it has now. */
  readonly figure: number;
  readonly learnedFrom: number;
  readonly because: string;
}

/**
 * Minutes of a visit from done visits of the same kind and frame pattern, shrunk towards the shop's
 * figure while they are few: (k × figure + sum of minutes) ÷ (k + n), k as if the figure were worth
 * that many visits (shop rule). Throws `RangeError` where the minutes of done visits are not a number above 0.
 */
export function expectedMinutes(
  visit: { readonly kind: VisitKind; readonly powered?: boolean | undefined },
  { visits: n, minutes: sum }: DoneVisits,
  values: FigureValues<typeof BENCH_FIGURES> = valuesOf(BENCH_FIGURES),
): ExpectedMinutes {
  if (n > 0 && !(Number.isFinite(sum) && sum > 0)) {
    throw new RangeError('The minutes of done visits are a number above 0');
  }
  const figure = figureFor(visit.kind, visit.powered ?? false, values);
  const k = values.priorVisits;
  const minutes = n === 0 ? figure : (k * figure + sum) / (k + n);
  const because =
    n === 0
      ? `${figure} min: shop rule, no own visits yet`
      : `${Math.round(minutes)} min: ${n} own ${n === 1 ? 'visit' : 'visits'}, ` +
        `${Math.round(sum / n)} min on average, weighed against the shop rule of ${figure} min`;
  return { minutes, places: placesFor(minutes), figure, learnedFrom: n, because };
}

/** Places of half an hour that so many minutes take, rounded up, at least one. */
export function placesFor(minutes: number): number {
  // A mean of 60 min may come out a hair above 60: that is no third half hour.
  return Math.max(1, Math.ceil(minutes / PLACE_MINUTES - 1e-9));
}

function figureFor(
  kind: VisitKind,
  powered: boolean,
  values: FigureValues<typeof BENCH_FIGURES>,
): number {
  const figures: Readonly<Record<VisitKind, number>> = {
    lubrication: powered ? values.lubricationPoweredMinutes : values.lubricationMinutes,
    settling: values.settlingMinutes,
    look: values.lookMinutes,
    repair: values.repairMinutes,
  };
  return figures[kind];
}
