import type { TaxRate } from './amount.ts';

/**
 * Money is a whole number of the smallest unit of its currency, and no step of a sum passes through a
 * number with a point. Rounding, once for all: each line is rounded half up to that unit; a tax is
 * reckoned once, on the sum of the lines, and rounded half up.
 */

/** A number of hours or pieces in hundredths: 1 h 30 min is 150. */
export type Hundredths = number;

export const LARGEST_QUANTITY: Hundredths = 1_000_000;

/** What a line comes to. */
export function lineAmount(quantity: Hundredths, unitPrice: number): number {
  return halfUp(BigInt(quantity) * BigInt(unitPrice), 100n);
}

/** The tax on a sum of lines. */
export function taxOn(net: number, rate: TaxRate): number {
  return halfUp(BigInt(net) * BigInt(rate), 100_000n);
}

/** A fraction rounded to a whole number, halves up; neither part may be negative. */
function halfUp(part: bigint, whole: bigint): number {
  return Number((2n * part + whole) / (2n * whole));
}
