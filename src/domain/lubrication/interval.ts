import type { FigureTable, FigureValues } from '../figures/figure.ts';
import { valuesOf } from '../figures/figure.ts';
import type { Climate, Corrosion, SteelClass } from './corrosion.ts';
import { corrosion, STEEL_FIGURES } from './corrosion.ts';
import type { Keeping } from './keeping.ts';
import {
  classOfKeeping,
  isOpenAir,
  KEEPING_FIGURES,
  keepingInWords,
  tellsWhere,
  untoldInWords,
  untoldOf,
} from './keeping.ts';

const OWN = 'chosen for this project; nobody published a figure';

/** Figures of the lubrication interval, with the classes of keepings and the rates of the classes. */
export const INTERVAL_FIGURES = {
  ...STEEL_FIGURES,
  ...KEEPING_FIGURES,
  longestMonths: {
    value: 12,
    unit: 'months',
    mark: 'common practice, no source',
    source: 'oil and washers are looked at once a year or oftener',
  },
  shortestMonths: { value: 3, unit: 'months', mark: 'shop rule', source: OWN, min: 1, max: 12 },
  referenceRate: { value: 37.5, unit: 'µm/a', mark: 'shop rule', source: OWN, min: 1, max: 450 },
  ratePower: { value: 0.5, unit: '1', mark: 'shop rule', source: OWN, min: 0.25, max: 1 },
  manyFolds: { value: 250, unit: 'folds/a', mark: 'shop rule', source: OWN, min: 1, max: 10_000 },
  busyFactor: { value: 0.75, unit: '1', mark: 'shop rule', source: OWN, min: 0.1, max: 1 },
  unmovedDays: { value: 60, unit: 'days', mark: 'shop rule', source: OWN, min: 1, max: 366 },
  unmovedFactor: { value: 0.75, unit: '1', mark: 'shop rule', source: OWN, min: 0.1, max: 1 },
  faultFactor: { value: 0.5, unit: '1', mark: 'shop rule', source: OWN, min: 0.1, max: 1 },
} as const satisfies FigureTable;

export interface IntervalInput {
  readonly keeping: Keeping;
  /** True where any pivot is stiff or any washer is missing. */
  readonly stiffOrMissing?: boolean | undefined;
  /** Longest time in days that the car stands without being moved. */
  readonly unmovedDays?: number | undefined;
  /**
   * Where known, decides the class in place of the keeping, but for a heated or a dry garage: it is that
   * of open air. Bounds: `CLIMATE_BOUNDS`.
   */
  readonly climate?: Climate | undefined;
}

export interface LubricationInterval {
  readonly months: number;
  /** Null where neither keeping nor climate tells it. */
  readonly class: SteelClass | null;
  /** The sum in words, one step a line, each with the months as they then stand. */
  readonly because: string[];
}

/**
 * Months between two lubrications: 12 × √(37.5 / rate of the class), 12 at most, times the factors,
 * rounded to whole months (a half counts up), 3 at least. Daily use and over 250 folds a year are
 * one reason, not two. A climate beyond the scale counts as CX. Where nobody has told how the car is
 * kept, nothing shortens the longest interval but what is known, and the sum says what is not.
 */
export function lubricationInterval(
  input: IntervalInput,
  figures: FigureValues<typeof INTERVAL_FIGURES> = valuesOf(INTERVAL_FIGURES),
): LubricationInterval {
  const { keeping } = input;
  const climate = isOpenAir(keeping) ? input.climate : undefined;
  const estimate = climate && corrosion(climate);
  const kept = tellsWhere(keeping) ? keeping : null;
  const told = kept === null ? null : classOfKeeping(kept, figures);
  const taken = estimate ? (estimate.class ?? 'CX') : told;
  const longest = figures.longestMonths;
  const byRate =
    taken === null
      ? longest
      : longest * (figures.referenceRate / figures[`rate${taken}`]) ** figures.ratePower;
  let months = Math.min(longest, byRate);

  const where = estimate ? 'climate figures' : kept === null ? null : keepingInWords(kept);
  const range = estimate ? rangeInWords(estimate) : '';
  const untold = untoldOf(keeping).filter((one) => estimate === undefined || one === 'use');
  const because = [
    `${longest} months at most`,
    ...(where === null ? [] : [`${where} (class ${taken}${range}): ${wholeMonths(months)}`]),
    ...(untold.length === 0 ? [] : [`not told ${untoldInWords(untold)}: ${wholeMonths(months)}`]),
    ...(input.climate !== undefined && climate === undefined ? [notOpenAir(keeping)] : []),
  ];
  for (const { words, factor } of shortenings(input, figures)) {
    months *= factor;
    because.push(`${words}: ${wholeMonths(months)}`);
  }
  const rounded = wholeMonths(months);
  if (rounded < figures.shortestMonths)
    because.push(`never under ${figures.shortestMonths} months: ${figures.shortestMonths}`);
  const result = Math.max(figures.shortestMonths, rounded);
  if (result < longest) because.push(`anything shorter than ${longest} months is a shop rule`);
  return { months: result, class: taken, because };
}

function notOpenAir({ place }: Keeping): string {
  return place === 'dry-garage'
    ? 'climate figures are for open air, and a dry garage keeps off rain and some of the salt'
    : 'climate figures are for open air and say nothing of a heated garage';
}

function shortenings(
  { keeping, stiffOrMissing, unmovedDays = 0 }: IntervalInput,
  figures: FigureValues<typeof INTERVAL_FIGURES>,
): { words: string; factor: number }[] {
  const busy = [
    ...(keeping.use === 'daily' ? ['daily use'] : []),
    ...((keeping.foldsPerYear ?? 0) > figures.manyFolds
      ? [`over ${figures.manyFolds} folds a year`]
      : []),
  ];
  return [
    ...(busy.length > 0 ? [{ words: busy.join(' and '), factor: figures.busyFactor }] : []),
    ...(unmovedDays > figures.unmovedDays
      ? [{ words: `unmoved over ${figures.unmovedDays} days`, factor: figures.unmovedFactor }]
      : []),
    ...(stiffOrMissing
      ? [{ words: 'pivot stiff or washer missing', factor: figures.faultFactor }]
      : []),
  ];
}

/** How sure the class of an estimated rate is, by the uncertainty that ISO 9223 gives for it. */
function rangeInWords({ from, to }: Corrosion): string {
  const low = from.class ?? 'CX';
  const high = to.class ?? 'CX';
  return low === high
    ? `, ${low} by its uncertainty too`
    : `, by its uncertainty ${low} to ${high}`;
}

/** Rounds a half up, also one that the arithmetic left a hair below the half. */
function wholeMonths(months: number): number {
  return Math.round(months + 1e-9);
}
