/** A sale that offers itself and would cure nothing. */
export interface WrongSale {
  /** The sign that tempts. */
  readonly sign: string;
  /** Id of the fault that is mistaken for what the sale would cure. */
  readonly fault: string;
  /** What is seen besides and makes the wrong sale look right. */
  readonly looksLike: readonly string[];
  /** The check that would show the sale to be right after all, if it is positive. */
  readonly unless?: string;
  readonly text: string;
  readonly looksLikeText: string;
}

/** Common practice of the trade, no source: frame before cloth, and cloth before cable. */
export const WRONG_SALES: readonly WrongSale[] = [
  {
    sign: 'edge-arched-over-side-glass',
    fault: 'cover-shrunk',
    looksLike: [
      'side-edge-loose',
      'flutter-at-speed',
      'folds-unevenly',
      'cable-hangs-over-door',
      'cable-end-frayed',
    ],
    unless: 'fits-when-warm',
    text:
      'Do not sell side cables for this arch: the cover has shrunk, and cable and spring only ' +
      'follow it. New cables pull on the same short cloth.',
    looksLikeText:
      'The loose edge is real, but it comes with the shrinking: the short cover has overstretched ' +
      'the spring. Even if a cable is broken too, a new one will not bring the edge down.',
  },
  {
    sign: 'cable-hangs-over-door',
    fault: 'cable-pocket-open',
    looksLike: ['side-edge-loose', 'flutter-at-speed'],
    unless: 'cable-end-frayed',
    text: 'Do not sell a cable for an open pocket: the cable is mostly whole, its seam has let go.',
    looksLikeText: 'The edge hangs loose because nothing holds the cable to it.',
  },
  {
    sign: 'hard-to-latch-when-cold',
    fault: 'cold-shrink-back',
    looksLike: ['latch-needs-force'],
    unless: 'cloth-stays-up',
    text:
      'Do not let the cover out at the front rail in the cold: warm it first, or it will hang ' +
      'slack in summer.',
    looksLikeText: 'The latch needs force because cold vinyl is short and stiff.',
  },
  {
    sign: 'only-one-latch-meets',
    fault: 'frame-twisted',
    looksLike: ['wrinkles-and-bow-prints', 'latch-needs-force'],
    text:
      'Do not sell a new cover for a top that shuts crookedly: find out first whether the frame ' +
      'is twisted. A new cover on a twisted frame will not fit, and no seller answers for it.',
    looksLikeText: 'Wrinkles and heavy latches may both come from the frame.',
  },
  {
    sign: 'header-sways',
    fault: 'frame-shakes',
    looksLike: ['latch-needs-force'],
    text: 'Do not hide a shaking frame by tightening its latches: count the washers first.',
    looksLikeText: 'A frame that sways meets its latches off centre.',
  },
  {
    sign: 'brown-tide-marks',
    fault: 'lining-water-line',
    looksLike: ['dark-patch-after-rain'],
    unless: 'spoonful-soaks-in',
    text: 'Do not sell a cover for a water line before seals and drains have been tested.',
    looksLikeText: 'Water under the cover may have come in at a seal and run along.',
  },
  {
    sign: 'wrinkles-and-bow-prints',
    fault: 'bows-out-of-place',
    looksLike: ['front-edge-lumpy'],
    text: 'Do not pull wrinkles out with the cover: measure the bows first.',
    looksLikeText: 'A lumpy front edge means metalwork before any cloth is moved.',
  },
];

/**
 * The warnings that the signs and the chances of the faults call for: whenever the tempting sign was
 * seen or the mistaken fault is in question, until its proof was tried in vain or another check shows
 * the sale to be right. A fault that is proven warns whatever else was ticked.
 */
export function warningsFor(
  seen: ReadonlySet<string>,
  chanceOf: (fault: string) => number,
  values: { readonly listedFrom: number; readonly mustNotFrom: number },
): string[] {
  return WRONG_SALES.filter(({ sign, looksLike, fault, unless }) => {
    const chance = chanceOf(fault);
    if (chance === 1) return true;
    if (chance === 0 || (unless !== undefined && seen.has(unless))) return false;
    const tempted = looksLike.some((id) => seen.has(id)) && chance >= values.listedFrom;
    return seen.has(sign) || tempted || chance >= values.mustNotFrom;
  }).map((sale) =>
    sale.looksLike.some((sign) => seen.has(sign))
      ? `${sale.text} ${sale.looksLikeText}`
      : sale.text,
  );
}
