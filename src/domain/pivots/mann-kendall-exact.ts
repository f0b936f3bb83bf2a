/** Chance of each |s| or more, by pattern of ties. */
const tails = new Map<number, Float64Array>();
/** Patterns kept: a workshop's readings show few, and memory stays bounded under any input. */
const KEPT = 4096;

/**
 * Two-sided chance of an |s| at least as large under no trend, by |s|, over all orders of the values
 * with their ties kept; an |s| that lies behind its end has none. The sizes are those of ties in x and
 * in y, for ten readings at most.
 */
export function exactTail(xTies: readonly number[], yTies: readonly number[]): Float64Array {
  const key = keyOf(xTies, yTies);
  const known = tails.get(key);
  if (known !== undefined) return known;
  if (tails.size >= KEPT) tails.clear();
  const tail = tailFor(xTies, yTies);
  tails.set(key, tail);
  return tail;
}

/** With ties on one side alone their order makes no difference: far fewer patterns to count out. */
function tailFor(xTies: readonly number[], yTies: readonly number[]): Float64Array {
  if (xTies.length < total(xTies)) return tailOf(scores(xTies, yTies));
  const ordered = yTies.toSorted((a, b) => a - b);
  const key = keyOf(xTies, ordered);
  const tail = tails.get(key) ?? tailOf(scores(xTies, ordered));
  tails.set(key, tail);
  return tail;
}

/** Each list of sizes as the bits of a number: a one after each run of as many places. */
function keyOf(xTies: readonly number[], yTies: readonly number[]): number {
  return bitsOf(xTies) * 2048 + bitsOf(yTies);
}

function bitsOf(sizes: readonly number[]): number {
  let bits = 1;
  for (let i = 0; i < sizes.length; i += 1) bits = (bits << sizes[i]!) | 1;
  return bits;
}

function tailOf(ways: ReadonlyMap<number, number>): Float64Array {
  const most = Math.max(...[...ways.keys()].map(Math.abs));
  const tail = new Float64Array(most + 1);
  for (const [score, count] of ways) tail[Math.abs(score)]! += count;
  for (let s = most - 1; s >= 0; s -= 1) tail[s]! += tail[s + 1]!;
  const all = tail[0] ?? 1;
  return tail.map((count) => count / all);
}

/** In how many ways each score comes about. The counts stay under 10!, so they are exact. */
function scores(xTies: readonly number[], yTies: readonly number[]): ReadonlyMap<number, number> {
  // States are how many of each y value are still to be dealt out; x values take theirs in turn.
  let states = new Map([[yTies.join(), { left: yTies, ways: new Map([[0, 1]]) }]]);
  for (const size of xTies) {
    const next: typeof states = new Map();
    for (const { left, ways } of states.values()) {
      for (const hand of hands(left, size)) {
        const rest = left.map((count, i) => count - (hand.taken[i] ?? 0));
        const gain = gainOf(hand.taken, rest);
        const key = rest.join();
        const target = next.get(key) ?? { left: rest, ways: new Map<number, number>() };
        for (const [score, count] of ways) {
          const sum = score + gain;
          target.ways.set(sum, (target.ways.get(sum) ?? 0) + count * hand.ways);
        }
        next.set(key, target);
      }
    }
    states = next;
  }
  return [...states.values()][0]?.ways ?? new Map([[0, 1]]);
}

interface Hand {
  readonly taken: readonly number[];
  /** In how many ways it can be drawn from values told apart. */
  readonly ways: number;
}

/** All ways to take `size` values from those left. */
function hands(left: readonly number[], size: number): Hand[] {
  let partial: (Hand & { readonly open: number })[] = [{ taken: [], ways: 1, open: size }];
  for (const count of left) {
    partial = partial.flatMap(({ taken, ways, open }) =>
      Array.from({ length: Math.min(count, open) + 1 }, (_, take) => ({
        taken: [...taken, take],
        ways: ways * choose(count, take),
        open: open - take,
      })),
    );
  }
  return partial.filter(({ open }) => open === 0);
}

/** Later values above those taken, less later values below them. */
function gainOf(taken: readonly number[], rest: readonly number[]): number {
  let gain = 0;
  let below = 0;
  let above = total(rest);
  for (const [i, count] of taken.entries()) {
    const same = rest[i] ?? 0;
    above -= same;
    gain += count * (above - below);
    below += same;
  }
  return gain;
}

function choose(n: number, k: number): number {
  let ways = 1;
  for (let i = 1; i <= k; i += 1) ways = (ways * (n - k + i)) / i;
  return ways;
}

function total(counts: readonly number[]): number {
  return counts.reduce((sum, count) => sum + count, 0);
}
