/** A sale that offers itself and would cure nothing. */
export interface WrongSale {
  /** The sign that tempts. */
  readonly sign: string;
  /** What is seen besides and makes the wrong sale look right. */
  readonly looksLike: readonly string[];
  /** The check that would show the sale to be right after all, if it is positive. */
  readonly unless: string;
  /** The check that the warning rests on: ruled out, there is nothing to warn of. */
  readonly restsOn: string;
  readonly text: string;
  readonly looksLikeText: string;
}

/** Common practice of the trade, no source: frame before cloth, and cloth before cable. */
export const WRONG_SALES: readonly WrongSale[] = [
  {
    sign: 'edge-arched-over-side-glass',
    looksLike: [
      'side-edge-loose',
      'flutter-at-speed',
      'folds-unevenly',
      'cable-hangs-over-door',
      'cable-end-frayed',
    ],
    unless: 'fits-when-warm',
    restsOn: 'cloth-stays-up',
    text:
      'Do not sell side cables for this arch: the cover has shrunk, and cable and spring only ' +
      'follow it. New cables pull on the same short cloth.',
    looksLikeText:
      'The loose edge is real, but it comes with the shrinking: the short cover has overstretched ' +
      'the spring. Even if a cable is broken too, a new one will not bring the edge down.',
  },
  {
    sign: 'cable-hangs-over-door',
    looksLike: ['side-edge-loose', 'flutter-at-speed'],
    unless: 'cable-end-frayed',
    restsOn: 'cable-whole-out-of-pocket',
    text: 'Do not sell a cable for an open pocket: the cable is mostly whole, its seam has let go.',
    looksLikeText: 'The edge hangs loose because nothing holds the cable to it.',
  },
  {
    sign: 'hard-to-latch-when-cold',
    looksLike: ['latch-needs-force'],
    unless: 'cloth-stays-up',
    restsOn: 'fits-when-warm',
    text:
      'Do not let the cover out at the front rail in the cold: warm it first, or it will hang ' +
      'slack in summer.',
    looksLikeText: 'The latch needs force because cold vinyl is short and stiff.',
  },
  {
    sign: 'only-one-latch-meets',
    looksLike: ['wrinkles-and-bow-prints', 'latch-needs-force'],
    unless: 'pin-or-bolt-broken',
    restsOn: 'diagonals-differ',
    text:
      'Do not sell a new cover for a top that shuts crookedly: find out first whether the frame ' +
      'is twisted. A new cover on a twisted frame will not fit, and no seller answers for it.',
    looksLikeText: 'Wrinkles and heavy latches may both come from the frame.',
  },
  {
    sign: 'header-sways',
    looksLike: ['latch-needs-force'],
    unless: 'pin-or-bolt-broken',
    restsOn: 'washer-count-short',
    text: 'Do not hide a shaking frame by tightening its latches: count the washers first.',
    looksLikeText: 'A frame that sways meets its latches off centre.',
  },
  {
    sign: 'brown-tide-marks',
    looksLike: ['dark-patch-after-rain'],
    unless: 'spoonful-soaks-in',
    restsOn: 'hose-finds-the-place',
    text: 'Do not sell a cover for a water line before seals and drains have been tested.',
    looksLikeText: 'Water under the cover may have come in at a seal and run along.',
  },
  {
    sign: 'wrinkles-and-bow-prints',
    looksLike: ['front-edge-lumpy'],
    unless: 'glue-strings',
    restsOn: 'bow-spacing-off',
    text: 'Do not pull wrinkles out with the cover: measure the bows first.',
    looksLikeText: 'A lumpy front edge means metalwork before any cloth is moved.',
  },
];

/** The warnings that these signs call for. */
export function warningsFor(seen: ReadonlySet<string>, ruledOut: ReadonlySet<string>): string[] {
  return WRONG_SALES.filter(
    (sale) => seen.has(sale.sign) && !seen.has(sale.unless) && !ruledOut.has(sale.restsOn),
  ).map((sale) =>
    sale.looksLike.some((sign) => seen.has(sign))
      ? `${sale.text} ${sale.looksLikeText}`
      : sale.text,
  );
}
