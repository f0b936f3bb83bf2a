import type { Mark } from '../figures/figure.ts';

/** Least and most that a size may differ from its nominal, in µm. */
export interface FitLimits {
  readonly lowUm: number;
  readonly highUm: number;
}

/** Fit classes that a bushed joint needs: holes by capitals, shafts by small letters. */
export const FIT_CLASSES = ['H7', 'H8', 's6'] as const;
export type FitClass = (typeof FIT_CLASSES)[number];

interface Range {
  /** Sizes over this one, in mm … */
  readonly over: number;
  /** … up to and including this one. */
  readonly upTo: number;
  readonly limits: Readonly<Record<FitClass, FitLimits>>;
}

const hole = (highUm: number): FitLimits => ({ lowUm: 0, highUm });
const shaft = (lowUm: number, highUm: number): FitLimits => ({ lowUm, highUm });

/** Limits of ISO 286-2 for the sizes of pins and bushes in frames. */
export const ISO_FITS: {
  readonly mark: Mark;
  readonly source: string;
  readonly ranges: readonly Range[];
} = {
  mark: 'from memory',
  source: 'ISO 286-2, limits of H7, H8 and s6; grades agree with the formula of ISO 286-1',
  ranges: [
    { over: 3, upTo: 6, limits: { H7: hole(12), H8: hole(18), s6: shaft(19, 27) } },
    { over: 6, upTo: 10, limits: { H7: hole(15), H8: hole(22), s6: shaft(23, 32) } },
    { over: 10, upTo: 18, limits: { H7: hole(18), H8: hole(27), s6: shaft(28, 39) } },
    { over: 18, upTo: 30, limits: { H7: hole(21), H8: hole(33), s6: shaft(35, 48) } },
  ],
};

/** The limits of a class at a nominal size in mm; null outside the table. */
export function fitLimits(nominalMm: number, fit: FitClass): FitLimits | null {
  const range = ISO_FITS.ranges.find(({ over, upTo }) => nominalMm > over && nominalMm <= upTo);
  return range?.limits[fit] ?? null;
}

/** "11 s6 (+0.028 … +0.039)" */
export function sizeWithFit(nominalMm: number, fit: FitClass): string {
  const limits = fitLimits(nominalMm, fit);
  if (limits === null) return `${nominalMm} ${fit}`;
  const mm = (um: number) => `${um === 0 ? '' : '+'}${(um / 1000).toFixed(3)}`;
  return `${nominalMm} ${fit} (${mm(limits.lowUm)} … ${mm(limits.highUm)})`;
}
