import type { Day } from '../calendar/day.ts';
import { daysBetween } from '../calendar/day.ts';
import { type FigureTable, type FigureValues, valuesOf } from '../figures/figure.ts';
import type { CoverMaterial, WindowKind } from './advice.ts';

const SEEN_RANGE =
  'the handbook of the car comes first; floors that were seen run from -10 °C to 5 °C ' +
  '(car handbooks: 0, 0, -5, -10 °C; a seller of vinyl tops and plastic windows: 5 °C)';

/** Lowest temperatures for folding where the handbook of the car is not on record. */
export const FOLD_FLOOR_FIGURES = {
  plastic: {
    value: 5,
    unit: '°C',
    mark: 'shop rule',
    source: `vinyl cover or plastic window; ${SEEN_RANGE}`,
    min: -10,
    max: 20,
  },
  oldPlasticWindow: {
    value: 10,
    unit: '°C',
    mark: 'shop rule',
    source: `plastic window that has aged; ${SEEN_RANGE}`,
    min: -10,
    max: 25,
  },
  oldWindowYears: {
    value: 5,
    unit: 'years',
    mark: 'shop rule',
    source: 'age from which a plastic window counts as old',
    min: 1,
    max: 20,
  },
  clothWithGlass: {
    value: 0,
    unit: '°C',
    mark: 'shop rule',
    source: `cloth cover with a glass window; ${SEEN_RANGE}`,
    min: -10,
    max: 20,
  },
} as const satisfies FigureTable;

/** What decides how cold is too cold for a top. */
export interface FoldFloorFacts {
  readonly handbookCelsius?: number | undefined;
  readonly material: CoverMaterial;
  readonly window: WindowKind;
  readonly windowAgeYears?: number | undefined;
}

/** How cold is too cold for moving a top, and who says so. */
export interface FoldFloor {
  readonly celsius: number;
  readonly because: string;
  /** The handbook of the car says it; else a shop rule. */
  readonly byHandbook: boolean;
}

/**
 * The lowest temperature in °C at which the top should be folded, and who says so. A value of the
 * car's handbook always wins; without one the shop's defaults by material and window hold.
 */
export function foldFloor(
  facts: FoldFloorFacts,
  values: FigureValues<typeof FOLD_FLOOR_FIGURES> = valuesOf(FOLD_FLOOR_FIGURES),
): FoldFloor {
  if (facts.handbookCelsius !== undefined) {
    return { celsius: facts.handbookCelsius, because: 'handbook of the car', byHandbook: true };
  }
  const rule = (celsius: number, because: string): FoldFloor => ({
    celsius,
    because,
    byHandbook: false,
  });
  if (facts.window === 'clear-vinyl' && (facts.windowAgeYears ?? 0) >= values.oldWindowYears) {
    return rule(values.oldPlasticWindow, 'shop rule: aged plastic window');
  }
  if (facts.material === 'vinyl' || facts.window === 'clear-vinyl') {
    return rule(values.plastic, 'shop rule: vinyl cover or plastic window');
  }
  return rule(values.clothWithGlass, 'shop rule: cloth cover with glass');
}

/** A top as it was fitted; its window came with it. */
export interface FittedCover {
  readonly material: CoverMaterial;
  readonly window: WindowKind;
  readonly fittedOn: Day;
}

/** How cold is too cold for a fitted top on a day; a window is as old as the fitting, in years. */
export function foldFloorOn(
  { material, window, fittedOn }: FittedCover,
  handbookCelsius: number | null,
  on: Day,
  values: FigureValues<typeof FOLD_FLOOR_FIGURES>,
): FoldFloor {
  const windowAgeYears = daysBetween(fittedOn, on) / 365.25;
  const facts = { handbookCelsius: handbookCelsius ?? undefined, material, window, windowAgeYears };
  return foldFloor(facts, values);
}
