const HALVINGS = 200;

/**
 * The largest x > 0 for which `holds` is true, where it is true up to some x and false from there
 * on. From `start` it halves until it holds, doubles until it fails, then closes the gap down to
 * rounding.
 */
export function largestUnder(holds: (x: number) => boolean, start: number): number {
  let low = start;
  while (!holds(low)) low /= 2;
  let high = low * 2;
  while (holds(high)) {
    low = high;
    high *= 2;
  }
  return halve(low, high, holds);
}

/** The smallest x > 0 for which `holds` is true, where it is false below and true up to `from`. */
export function smallestOver(holds: (x: number) => boolean, from: number): number {
  let high = from;
  let low = from / 2;
  while (holds(low)) {
    high = low;
    low /= 2;
  }
  return halve(high, low, holds);
}

function halve(inside: number, outside: number, holds: (x: number) => boolean): number {
  let good = inside;
  let bad = outside;
  for (let step = 0; step < HALVINGS; step += 1) {
    const middle = (good + bad) / 2;
    if (middle === good || middle === bad) break;
    if (holds(middle)) good = middle;
    else bad = middle;
  }
  return good;
}
