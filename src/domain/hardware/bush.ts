import { type FigureTable, type FigureValues, valuesOf } from '../figures/figure.ts';
import { type FitLimits, fitLimits } from './iso-fits.ts';
import { NOMINAL_MM, type Thread } from './iso-sizes.ts';

/** What decides whether a worn hole can take a bush, and which. Nobody published these. */
export const BUSH_FIGURES = {
  cleanUpMm: {
    value: 0.1,
    unit: 'mm',
    mark: 'shop rule',
    source: 'a reamer must cut all round: so much larger than the hole at its widest',
    min: 0.02,
    max: 0.5,
  },
  leastWallMm: {
    value: 1,
    unit: 'mm',
    mark: 'shop rule',
    source: 'a thinner bush is crushed as it is pressed in',
    min: 0.5,
    max: 3,
  },
  mostTimesPin: {
    value: 1.5,
    unit: 'times the pin',
    mark: 'shop rule',
    source: 'a larger bush leaves too little of a leaf whose width nobody measured',
    min: 1.2,
    max: 2,
  },
  leastEdgeTimes: {
    value: 0.5,
    unit: 'times the bush',
    mark: 'shop rule',
    source: 'metal that has to stay on each side of a bush in a leaf',
    min: 0.25,
    max: 1.5,
  },
} as const satisfies FigureTable;

export type BushFigures = FigureValues<typeof BUSH_FIGURES>;

/**
 * Outside diameters in mm in which plain bushes for a pin are sold ready made; others are turned.
 * From memory: the series of ISO 4379 and, for 5 mm, ISO 3547.
 */
export const STOCK_BUSHES: Readonly<Record<Thread, readonly number[]>> = {
  M5: [7, 8],
  M6: [8, 10, 12],
  M8: [10, 11, 12],
  M10: [12, 14, 16],
  M12: [14, 16, 18],
};

export interface WornHole {
  readonly thread: Thread;
  /** The hole at its widest, in mm, with the pin out. */
  readonly largestMm: number;
  /** Its widest less its narrowest, in mm, where both were measured. */
  readonly outOfRoundMm?: number | undefined;
  /** Width of the leaf across the hole, in mm, where it was measured. */
  readonly leafWidthMm?: number | undefined;
}

/** How a worn hole is made good: with a bush of these sizes, or by welding and drilling anew. */
export type HoleRepair =
  | {
      readonly how: 'bush';
      /** The hole is reamed to this size in mm, H7. */
      readonly reamMm: number;
      readonly reamLimitsUm: FitLimits | null;
      /** Outside of the bush in mm, s6: pressed in. */
      readonly outsideMm: number;
      readonly outsideLimitsUm: FitLimits | null;
      /** Inside of the bush in mm, H8 after pressing in. */
      readonly insideMm: number;
      readonly insideLimitsUm: FitLimits | null;
      readonly wallMm: number;
      /** Sold ready made; else it is turned. */
      readonly isStock: boolean;
      readonly because: string;
    }
  | { readonly how: 'weld'; readonly because: string };

/**
 * Sizes the repair from the hole that was found: the smallest bush that its reamer can clean up, thick
 * enough in the wall, and small enough for the leaf; ready made where there is one, else turned to the
 * next half millimetre. Where none fits: weld and drill anew. A bush is never smaller than its hole.
 */
export function holeRepair(
  { thread, largestMm, outOfRoundMm = 0, leafWidthMm }: WornHole,
  values: BushFigures = valuesOf(BUSH_FIGURES),
): HoleRepair {
  const pin = NOMINAL_MM[thread];
  const least = Math.max(largestMm + values.cleanUpMm, pin + 2 * values.leastWallMm);
  const most =
    leafWidthMm === undefined
      ? pin * values.mostTimesPin
      : leafWidthMm / (1 + 2 * values.leastEdgeTimes);
  const fits = (mm: number) => mm >= least - ROUNDING && mm <= most + ROUNDING;
  const stock = STOCK_BUSHES[thread].find(fits);
  const turned = Math.ceil((least - ROUNDING) * 2) / 2;
  const outsideMm = stock ?? (fits(turned) ? turned : null);
  const found = `${largestMm} mm at its widest on a pin of ${pin} mm`;
  if (outsideMm === null) {
    const leaf =
      leafWidthMm === undefined
        ? `more than ${values.mostTimesPin} times the pin leaves too little metal, as far as is known without the width of the leaf`
        : `a leaf ${leafWidthMm} mm wide takes ${hundredths(most)} mm at most`;
    return {
      how: 'weld',
      because: `${found}: a bush would have to be ${hundredths(least)} mm outside, and ${leaf}. Weld and drill anew, or renew the leaf`,
    };
  }
  const wallMm = hundredths((outsideMm - pin) / 2);
  return {
    how: 'bush',
    reamMm: outsideMm,
    reamLimitsUm: fitLimits(outsideMm, 'H7'),
    outsideMm,
    outsideLimitsUm: fitLimits(outsideMm, 's6'),
    insideMm: pin,
    insideLimitsUm: fitLimits(pin, 'H8'),
    wallMm,
    isStock: stock !== undefined,
    because: `${found}: ream to ${outsideMm} mm, which cuts all round, for a bush ${outsideMm} × ${pin} mm with ${wallMm} mm of wall${offCentre(largestMm + outOfRoundMm + values.cleanUpMm, outsideMm, outOfRoundMm)}`,
  };
}

/**
 * A hole worn to one side has its middle beside the old one, by half of what it is out of round: a reamer
 * that cleans it up there moves the pin, and one on the old middle has to reach the far edge (plain geometry).
 */
function offCentre(onOldMiddleMm: number, outsideMm: number, outOfRoundMm: number): string {
  return outsideMm >= onOldMiddleMm - ROUNDING
    ? ''
    : `. If it wore to one side, its middle has moved by up to ${hundredths(outOfRoundMm / 2)} mm, and the pin with it: to ream on the old middle takes ${hundredths(onOldMiddleMm)} mm`;
}

const ROUNDING = 1e-9;

/** Calipers read hundredths, and binary fractions must not decide on a limit. */
export function hundredths(mm: number): number {
  return Math.round(mm * 100) / 100;
}
