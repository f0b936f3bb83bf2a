import type { Mark } from '../figures/figure.ts';

/** What sellers and fitters usually promise for a part. */
export interface UsualTerm {
  readonly part: string;
  readonly label: string;
  /** Shortest and longest term seen, in months; 0 where some promise nothing. */
  readonly months: readonly [number, number];
  readonly note: string;
  readonly mark: Mark;
  readonly source: string;
}

const SAMPLE =
  'warranty pages of six sellers and fitters, North America and Australia, that are not kept to be named';

/** For orientation when a shop enters its own terms; nothing is computed from these. */
export const USUAL_TERMS: readonly UsualTerm[] = [
  {
    part: 'cover',
    label: 'cover material and seams',
    months: [36, 72],
    note: 'six years is frequent; some vinyls and cotton-backed cloths have one year or none',
    mark: 'common practice, no source',
    source: SAMPLE,
  },
  {
    part: 'glass-bond',
    label: 'bond between glass and cloth',
    months: [36, 72],
    note: 'breakage is left out',
    mark: 'common practice, no source',
    source: SAMPLE,
  },
  {
    part: 'plastic-window',
    label: 'plastic window',
    months: [0, 0],
    note: 'none, or only its stitching',
    mark: 'common practice, no source',
    source: SAMPLE,
  },
  {
    part: 'headlining',
    label: 'headlining',
    months: [36, 60],
    note: '',
    mark: 'common practice, no source',
    source: SAMPLE,
  },
  {
    part: 'other-parts',
    label: 'other parts',
    months: [12, 60],
    note: '',
    mark: 'common practice, no source',
    source: SAMPLE,
  },
  {
    part: 'workmanship',
    label: "fitter's workmanship",
    months: [12, 24],
    note: 'the range is from memory',
    mark: 'from memory',
    source: SAMPLE,
  },
];

/** What such warranties mostly leave out, in general words (same sample). */
export const USUALLY_EXCLUDED: readonly string[] = [
  'wrong cleaning, or not following the handbook',
  'a worn, misaligned or badly working frame',
  'cables, rails and pads that were not renewed with the cover',
  'cuts, fitting damage, zips and discolouring',
];

/** Each usual term in a line of words: "headlining: 36 to 60 months". */
export function usualTermsInWords(): string[] {
  return USUAL_TERMS.map(({ label, months: [least, most], note }) => {
    const term = most === 0 ? '' : `${least} to ${most} months`;
    return `${label}: ${[term, note].filter((part) => part !== '').join('; ')}`;
  });
}
