import { type FigureTable, type FigureValues, valuesOf } from '../figures/figure.ts';
import type { Verdict } from '../pivots/state.ts';
import { CLEARANCE_HOLES, type ClearanceHole, isThread, NOMINAL_MM, THREADS } from './iso-sizes.ts';

/** What turns a hole size into a verdict. Only the sizes of ISO 273 are published. */
export const HOLE_FIGURES = {
  actBeyondCoarseMm: {
    value: 0.8,
    unit: 'mm',
    mark: 'shop rule',
    source: 'worn so far past the coarse hole that a bush has too little metal around it',
    min: 0.1,
    max: 5,
  },
  actOutOfRoundMm: {
    value: 0.8,
    unit: 'mm',
    mark: 'shop rule',
    source: 'past the coarse hole and out of round by more: weld and drill anew, or a new leaf',
    min: 0.1,
    max: 5,
  },
  plausibleTimesPin: {
    value: 2,
    unit: 'times the pin',
    mark: 'shop rule',
    source: 'a larger figure is taken for a slip of the pen',
    min: 1.5,
    max: 4,
  },
} as const satisfies FigureTable;

export interface HoleReading {
  readonly thread: string;
  /** The hole across two directions at right angles, in mm, with the pin out. */
  readonly diametersMm: readonly [number, number];
}

export interface HoleVerdict {
  readonly verdict: Verdict;
  readonly largestMm: number;
  readonly limitsMm: ClearanceHole;
  /** Largest diameter less the nominal pin. */
  readonly playMm: number;
  readonly outOfRoundMm: number;
  readonly because: string;
}

/**
 * The verdict on a worn hole, judged on its largest diameter against the clearance holes of
 * ISO 273: `good` up to medium, `watch` up to coarse, above it `plan` (bush or replace), and `act`
 * far above it or badly out of round. The steps are a shop rule, only the hole sizes are published.
 *
 * Refused: a thread that the tables lack, and diameters below the pin or beyond belief.
 */
export function holeVerdict(
  reading: HoleReading,
  values: FigureValues<typeof HOLE_FIGURES> = valuesOf(HOLE_FIGURES),
): HoleVerdict | { readonly refused: string } {
  const { thread } = reading;
  if (!isThread(thread)) return { refused: `thread: one of ${THREADS.join(', ')}` };
  const pin = NOMINAL_MM[thread];
  const most = pin * values.plausibleTimesPin;
  const [a, b] = reading.diametersMm;
  if (![a, b].every((mm) => mm >= pin && mm <= most)) {
    return { refused: `diametersMm: each from the pin of ${thread}, ${pin} mm, to ${most} mm` };
  }
  const largestMm = Math.max(a, b);
  const limitsMm = CLEARANCE_HOLES.rows[thread];
  const playMm = hundredths(largestMm - pin);
  const outOfRoundMm = hundredths(largestMm - Math.min(a, b));
  const beyond = hundredths(largestMm - limitsMm.coarse);
  const sizes = `${largestMm} mm at its widest, ${playMm} mm of play on ${thread}`;
  const answer = { largestMm, limitsMm, playMm, outOfRoundMm };
  if (largestMm <= limitsMm.medium) {
    return { ...answer, verdict: 'good', because: `${sizes}: within medium ${limitsMm.medium}` };
  }
  if (beyond <= 0) {
    return { ...answer, verdict: 'watch', because: `${sizes}: within coarse ${limitsMm.coarse}` };
  }
  const past = `${sizes}: past coarse ${limitsMm.coarse}`;
  if (beyond > values.actBeyondCoarseMm || outOfRoundMm > values.actOutOfRoundMm) {
    const because = `${past}, ${outOfRoundMm} mm out of round: weld and drill anew, or a new leaf`;
    return { ...answer, verdict: 'act', because };
  }
  return { ...answer, verdict: 'plan', because: `${past}: ream it round for a bush, or replace` };
}

// Calipers read hundredths, and binary fractions must not decide on a limit.
function hundredths(mm: number): number {
  return Math.round(mm * 100) / 100;
}
