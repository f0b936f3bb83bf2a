import type { FrameFigures } from './frame-figures.ts';
import type { SwayShare } from './sway-share.ts';

/**
 * What ails the frame: `loose` joints, `twisted` (a lasting set, which no washer cures), both at
 * once, `unexplained` sway that the gaps measured do not account for, none of these, or `unknown`
 * while a reading is missing.
 */
export interface Twist {
  readonly told: 'sound' | 'loose' | 'twisted' | 'loose-and-twisted' | 'unexplained' | 'unknown';
  readonly because: string | null;
}

/**
 * Tells twist from looseness (shop rule, from the plain geometry of the two). Looseness moves: it
 * shows as sway, and the gaps account for it. Twist stays: the diagonals differ though nothing
 * moves. Where both are found the joints come first, since a loose frame may only hang askew. Sway
 * counts as accounted for when what is left over would be no more than a reading's error, or less
 * than half of it.
 */
export function tellTwist(
  swayMm: number | null,
  diagonalsMm: number | null,
  share: SwayShare | null,
  figures: FrameFigures,
): Twist {
  const sways = swayMm !== null && swayMm > figures.swayWatchOver;
  const skew = diagonalsMm !== null && diagonalsMm > figures.diagonalsWatchOver;
  if (sways && skew) {
    return {
      told: 'loose-and-twisted',
      because:
        'it sways and its diagonals differ: cure the joints, then measure the diagonals anew',
    };
  }
  if (sways) {
    const rest = share?.unexplainedMm ?? swayMm;
    if (rest > figures.swayRepeatability && rest > swayMm / 2) {
      return { told: 'unexplained', because: unexplainedInWords(share) };
    }
    return { told: 'loose', because: looseInWords(rest, figures) };
  }
  if (swayMm === null) return { told: 'unknown', because: null };
  if (skew) {
    return {
      told: 'twisted',
      because:
        'the diagonals differ though it hardly sways: a lasting twist, washers will not cure it',
    };
  }
  return diagonalsMm === null
    ? { told: 'unknown', because: null }
    : { told: 'sound', because: null };
}

function unexplainedInWords(share: SwayShare | null): string {
  const then = 'then look at the bolts of the main brackets and for a cracked arm';
  return share === null || share.joints.length === 0
    ? `no gap was measured that could account for the sway: measure the joints, ${then}`
    : `the gaps measured do not account for the sway: measure the other joints, ${then}`;
}

function looseInWords(restMm: number, { unexplainedOverMm }: FrameFigures): string {
  return restMm > unexplainedOverMm
    ? 'it sways and the gaps account for most of it: cure the joints with washers first, then ' +
        'measure the sway anew; what is left of it is not theirs'
    : 'it sways and the gaps account for it: loose joints, so washers cure it';
}
