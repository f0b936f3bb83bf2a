import type { Part } from '../parts/kits.ts';

/** What members can order with the club: what an owner uses or fits without a bench. */
export const WISH_PARTS = [
  'oil',
  'proofer',
  'tailgate-seal',
  'washer-pair',
] as const satisfies readonly Part[];
export type WishPart = (typeof WISH_PARTS)[number];

/** As many pieces of one part as anybody needs for one car: a shop rule against slips of the finger. */
export const MOST_PIECES = 9;
