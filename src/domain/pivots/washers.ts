import { valuesOf } from '../figures/figure.ts';
import { PIVOT_FIGURES } from './figures.ts';
import type { PivotFigures } from './figures.ts';
import { pivotInWords, sideOf } from './frame-patterns.ts';
import type { Side } from './frame-patterns.ts';
import type { Verdict } from './state.ts';

/** What was last counted at one pivot; null where nobody has counted since its last repair. */
export interface WasherCount {
  readonly code: string;
  readonly washersPresent: number | null;
  readonly washersExpected: number;
}

/** The washers of one side of the frame taken together. */
export interface SideWashers {
  readonly missing: number;
  /** Codes of the pivots that lack any. */
  readonly at: readonly string[];
  readonly verdict: Verdict;
  readonly because: string;
}

/** Spacer washers that a pivot lacks; none where they were not counted. */
export function washersMissing(count: Omit<WasherCount, 'code'>): number {
  return Math.max(0, count.washersExpected - (count.washersPresent ?? count.washersExpected));
}

/** The verdict on that many missing washers on one side of a frame. */
export function washerVerdict(missingOnSide: number, figures: PivotFigures): Verdict {
  if (missingOnSide === 0) return 'good';
  return missingOnSide >= figures.washersActOnSide ? 'act' : 'plan';
}

/**
 * Judges each side of the frame: one washer missing is work to plan; two or more on one side let
 * that side lean, whichever joints they are missing from.
 */
export function sideWashers(
  counts: readonly WasherCount[],
  figures: PivotFigures = valuesOf(PIVOT_FIGURES),
): Readonly<Record<Side, SideWashers>> {
  const judge = (side: Side): SideWashers => {
    const lacking = counts.filter((c) => sideOf(c.code) === side && washersMissing(c) > 0);
    const missing = lacking.reduce((sum, count) => sum + washersMissing(count), 0);
    const at = lacking.map(({ code }) => code);
    const where = at.map(pivotInWords).join(', ');
    const because =
      missing === 0
        ? 'no washer known to be missing'
        : `${missing} ${missing === 1 ? 'washer' : 'washers'} missing: ${where}`;
    return { missing, at, verdict: washerVerdict(missing, figures), because };
  };
  return { L: judge('L'), R: judge('R') };
}
