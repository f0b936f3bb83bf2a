/** A chance this small adds nothing to any sum; leaving it out keeps slow subnormals away. */
const NOTHING = 1e-300;

/**
 * Exact distribution of how many of independent needs arise: entry k is the chance of exactly k.
 * The recurrence adds one need at a time and only ever adds products of positive numbers, so no
 * digits cancel. Entries under 1e-300 stand as zero. Time grows with n x (entries above that).
 * Throws RangeError naming a chance outside 0 to 1.
 */
export function poissonBinomial(chances: readonly number[]): number[] {
  const weights = new Float64Array(chances.length + 1);
  weights[0] = 1;
  let low = 0;
  let high = 0;
  for (let i = 0; i < chances.length; i += 1) {
    const chance = chances[i]!;
    if (!(chance >= 0 && chance <= 1)) {
      throw new RangeError(`chances[${i}] must lie between 0 and 1`);
    }
    const not = 1 - chance;
    high += 1;
    for (let k = high; k > low; k -= 1) weights[k] = weights[k]! * not + weights[k - 1]! * chance;
    weights[low]! *= not;
    while (low < high && weights[low]! < NOTHING) weights[low++] = 0;
    while (high > low && weights[high]! < NOTHING) weights[high--] = 0;
  }
  return Array.from(weights);
}

/** How many to have so that the need is met with the chance `service`. */
export interface PartsNeeded {
  readonly expected: number;
  /** The smallest quantity with P(need <= quantity) >= service. */
  readonly quantity: number;
}

/**
 * Quantity of a part for independent needs with the given chances.
 * Throws RangeError naming a chance outside 0 to 1, or a service level not between 0 and 1.
 */
export function partsNeeded(
  need: Readonly<{ chances: readonly number[]; service: number }>,
): PartsNeeded {
  requireService(need.service);
  const expected = need.chances.reduce((sum, chance) => sum + chance, 0);
  return { expected, quantity: quantityFor(poissonBinomial(need.chances), need.service) };
}

/**
 * Smallest quantity that meets the need with the chance `service`. The chance of running short is
 * summed from the far end, small numbers first, and a tie (a coin's 0.5 for service 0.5) counts as
 * met although rounding may put it a hair under.
 * Throws RangeError for a service level not between 0 and 1.
 */
export function quantityFor(distribution: ArrayLike<number>, service: number): number {
  requireService(service);
  const allowed = (1 - service) * (1 + 1e-9) + 1e-15;
  let short = 0;
  for (let quantity = distribution.length - 1; quantity > 0; quantity -= 1) {
    short += distribution[quantity]!;
    if (short > allowed) return quantity;
  }
  return 0;
}

function requireService(service: number): void {
  if (!(service > 0 && service < 1)) {
    throw new RangeError('service must lie between 0 and 1, both excluded');
  }
}
