import { poissonBinomial } from './poisson-binomial.ts';

/** One visit as a source of need: whether it takes place at all, and what it then asks for. */
export interface VisitNeed {
  /** Chance that the visit takes place. */
  readonly comes: number;
  /** Chance of each single piece, given that it does; independent of each other then. */
  readonly chances: readonly number[];
}

/** Shares of the total that are left out at both ends of the running sum. */
const NOTHING = 1e-40;

/**
 * Distribution of the pieces needed over several visits. The pieces of one visit come or stay away
 * together with the car, which spreads the total wider than the same chances taken singly would;
 * the visits are independent of each other. Exact, but for tails under 1e-40, which stand as zero.
 * Throws RangeError naming a chance outside 0 to 1.
 */
export function needDistribution(visits: readonly VisitNeed[]): Float64Array {
  const most = visits.reduce((sum, { chances }) => sum + chances.length, 0);
  const total = new Float64Array(most + 1);
  total[0] = 1;
  let low = 0;
  let high = 0;
  for (const visit of visits) {
    const own = visitDistribution(visit);
    const pieces = own.length - 1;
    high += pieces;
    for (let k = high; k >= low; k -= 1) {
      const first = Math.min(pieces, k - low);
      let chance = 0;
      for (let piece = 0; piece <= first; piece += 1) chance += own[piece]! * total[k - piece]!;
      total[k] = chance;
    }
    while (low < high && total[low]! < NOTHING) total[low++] = 0;
    while (high > low && total[high]! < NOTHING) total[high--] = 0;
  }
  return total;
}

/** Chance that more than `quantity` pieces are needed. */
export function chanceShort(distribution: ArrayLike<number>, quantity: number): number {
  let short = 0;
  for (let k = distribution.length - 1; k > quantity && k >= 0; k -= 1) short += distribution[k]!;
  return Math.min(1, short);
}

function visitDistribution({ comes, chances }: VisitNeed): number[] {
  if (!(comes >= 0 && comes <= 1)) throw new RangeError('comes must lie between 0 and 1');
  const own = poissonBinomial(chances).map((chance) => chance * comes);
  own[0]! += 1 - comes;
  while (own.length > 1 && own.at(-1)! < NOTHING) own.pop();
  return own;
}
