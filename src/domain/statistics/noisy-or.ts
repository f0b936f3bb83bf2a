/** How strongly a cause brings a sign along, from 0 to 1. */
export interface NoisyLink {
  readonly cause: number;
  readonly sign: number;
  readonly chance: number;
}

/**
 * Independent causes and the signs that they bring along. A sign is absent exactly when none of its
 * present causes brings it and nothing else does: P(absent) = (1 - leak) x product of (1 - chance).
 */
export interface NoisyOr {
  /** Chance of each cause before anything is seen. */
  readonly priors: readonly number[];
  /** Chance of each sign without any of its causes; above 0. */
  readonly leaks: readonly number[];
  readonly links: readonly NoisyLink[];
}

/** Signs by index that were seen or looked for in vain, and causes that are settled. */
export interface NoisyEvidence {
  readonly seen: ReadonlySet<number>;
  readonly absent: ReadonlySet<number>;
  readonly certain: ReadonlySet<number>;
  readonly out: ReadonlySet<number>;
}

export interface NoisyPosterior {
  /** Chance of each cause given the evidence. */
  readonly chances: readonly number[];
  /** Chance of the signs seen and absent, given the causes that are settled. */
  readonly evidence: number;
  /** By seen sign: the chance that none of the causes has brought it. */
  readonly byItself: ReadonlyMap<number, number>;
}

/**
 * The exact posterior of every cause (leaky noisy-or of Pearl 1988; two-layer networks as in Heckerman
 * 1989). Absent signs only scale the odds of their causes; signs seen tie causes together. The causes
 * are taken one after the other, keeping for every sign that is open (some of its causes taken, some
 * not) whether it was brought yet; a backward pass gives all causes at once. Sums of products of
 * positive numbers alone, so no digits cancel.
 *
 * Time and memory: (causes of seen signs) x 2^width numbers, where `width` is the most signs that
 * are open at once in the order that is chosen; see `eliminationOf`.
 */
export function noisyOrPosterior(net: NoisyOr, evidence: NoisyEvidence): NoisyPosterior {
  const { chances, odds, constant } = withoutSeen(net, evidence);
  const { order, width } = eliminationOf(net, evidence);
  const byItself = new Map([...evidence.seen].map((sign) => [sign, 1]));
  if (order.length === 0) return { chances, evidence: constant, byItself };
  const size = 2 ** width;
  let forward: Float64Array = new Float64Array(size);
  forward[0] = 1;
  const before: Float64Array[] = [];
  const present: Float64Array[] = [];
  for (const step of order) {
    const [not, is] = odds[step.cause]!;
    const brought = forward.slice();
    for (const { slot, chance } of step.brings) bring(brought, slot, chance);
    before.push(forward);
    present.push(brought);
    const after = mixed(not, forward, is, brought);
    for (const { slot, leak } of step.closes) close(after, slot, leak);
    forward = after;
  }
  let backward: Float64Array = new Float64Array(size);
  backward[0] = 1;
  for (let i = order.length - 1; i >= 0; i -= 1) {
    const { cause, brings, closes } = order[i]!;
    const [not, is] = odds[cause]!;
    for (const { slot, leak } of closes.toReversed()) reopen(backward, slot, leak);
    if (closes.length > 0) {
      const open = mixed(not, before[i]!, is, present[i]!);
      const whole = dot(open, backward);
      for (const { slot, sign } of closes)
        byItself.set(sign, unbrought(open, backward, slot) / whole);
    }
    const without = not * dot(before[i]!, backward);
    const withIt = is * dot(present[i]!, backward);
    chances[cause] = withIt / (without + withIt);
    const brought = backward.slice();
    for (const { slot, chance } of brings) takeBack(brought, slot, chance);
    backward = mixed(not, backward, is, brought);
  }
  return { chances, evidence: constant * forward[0]!, byItself };
}

/** One cause in the order in which they are taken, with the slots of the signs that it may bring. */
interface Step {
  readonly cause: number;
  readonly brings: readonly { readonly slot: number; readonly chance: number }[];
  /** Signs of which it is the last cause. */
  readonly closes: readonly {
    readonly sign: number;
    readonly slot: number;
    readonly leak: number;
  }[];
}

/**
 * The order in which the causes of the seen signs are taken: each time the one after which the
 * fewest signs are open, the first of those that are alike. `width` is the most open at once.
 */
export function eliminationOf(
  net: NoisyOr,
  evidence: Pick<NoisyEvidence, 'seen' | 'out'>,
): { readonly order: readonly Step[]; readonly width: number } {
  const signsOf = new Map<number, Map<number, number>>();
  const left = new Map<number, Set<number>>();
  for (const { cause, sign, chance } of tyingLinks(net, evidence)) {
    signsOf.set(cause, (signsOf.get(cause) ?? new Map<number, number>()).set(sign, chance));
    left.set(sign, (left.get(sign) ?? new Set<number>()).add(cause));
  }
  const slots = new Map<number, number>();
  const order: Step[] = [];
  let width = 0;
  const waiting = [...signsOf.keys()].sort((a, b) => a - b);
  while (waiting.length > 0) {
    let next = -1;
    let fewest = Infinity;
    for (const cause of waiting) {
      let opens = 0;
      for (const sign of signsOf.get(cause)?.keys() ?? []) {
        if (!slots.has(sign)) opens += 1;
        if (left.get(sign)?.size === 1) opens -= 1;
      }
      if (opens < fewest) [next, fewest] = [cause, opens];
    }
    waiting.splice(waiting.indexOf(next), 1);
    const brings = [...(signsOf.get(next) ?? [])]
      .sort(([a], [b]) => a - b)
      .map(([sign, chance]) => ({ sign, slot: slotFor(sign, slots), chance }));
    width = Math.max(width, ...[...slots.values()].map((slot) => slot + 1));
    const closes = brings.filter(({ sign }) => {
      left.get(sign)?.delete(next);
      return left.get(sign)?.size === 0;
    });
    for (const { sign } of closes) slots.delete(sign);
    order.push({
      cause: next,
      brings: brings.map(({ slot, chance }) => ({ slot, chance })),
      closes: closes.map(({ sign, slot }) => ({ sign, slot, leak: net.leaks[sign] ?? 0 })),
    });
  }
  return { order, width };
}

/** What ties causes together: the links from causes that are not out to the signs seen. */
function tyingLinks(
  { links }: NoisyOr,
  { seen, out }: Pick<NoisyEvidence, 'seen' | 'out'>,
): NoisyLink[] {
  return links.filter(({ cause, sign, chance }) => seen.has(sign) && !out.has(cause) && chance > 0);
}

function slotFor(sign: number, slots: Map<number, number>): number {
  const known = slots.get(sign);
  if (known !== undefined) return known;
  const taken = new Set(slots.values());
  let free = 0;
  while (taken.has(free)) free += 1;
  slots.set(sign, free);
  return free;
}

/** What the absent signs and the settled causes say, and the leaks of signs without any cause left. */
function withoutSeen(net: NoisyOr, { seen, absent, certain, out }: NoisyEvidence) {
  const odds = net.priors.map((prior, cause): [not: number, is: number] => {
    if (certain.has(cause)) return [0, 1];
    return out.has(cause) ? [1, 0] : [1 - prior, prior];
  });
  for (const { cause, sign, chance } of net.links) {
    const own = odds[cause];
    if (own !== undefined && absent.has(sign)) own[1] *= 1 - chance;
  }
  const tying = tyingLinks(net, { seen, out });
  const tiedSigns = new Set(tying.map(({ sign }) => sign));
  const tiedCauses = new Set(tying.map(({ cause }) => cause));
  let constant = 1;
  for (const sign of absent) constant *= 1 - (net.leaks[sign] ?? 0);
  for (const sign of seen) if (!tiedSigns.has(sign)) constant *= net.leaks[sign] ?? 0;
  odds.forEach(([not, is], cause) => {
    if (!tiedCauses.has(cause)) constant *= not + is;
  });
  return { chances: odds.map(([not, is]) => is / (not + is)), odds, constant };
}

function bring(weights: Float64Array, slot: number, chance: number): void {
  const bit = 2 ** slot;
  for (let at = 0; at < weights.length; at += (at & (bit - 1)) === bit - 1 ? bit + 1 : 1) {
    weights[at | bit]! += chance * weights[at]!;
    weights[at]! *= 1 - chance;
  }
}

/** The transpose of `bring`. */
function takeBack(weights: Float64Array, slot: number, chance: number): void {
  const bit = 2 ** slot;
  for (let at = 0; at < weights.length; at += (at & (bit - 1)) === bit - 1 ? bit + 1 : 1) {
    weights[at] = (1 - chance) * weights[at]! + chance * weights[at | bit]!;
  }
}

/** A sign that no cause brought came by itself. */
function close(weights: Float64Array, slot: number, leak: number): void {
  const bit = 2 ** slot;
  for (let at = 0; at < weights.length; at += (at & (bit - 1)) === bit - 1 ? bit + 1 : 1) {
    weights[at] = leak * weights[at]! + weights[at | bit]!;
    weights[at | bit] = 0;
  }
}

/** The transpose of `close`. */
function reopen(weights: Float64Array, slot: number, leak: number): void {
  const bit = 2 ** slot;
  for (let at = 0; at < weights.length; at += (at & (bit - 1)) === bit - 1 ? bit + 1 : 1) {
    weights[at | bit] = weights[at]!;
    weights[at]! *= leak;
  }
}

/** The part of the weight in which no cause has brought the sign of this slot. */
function unbrought(weights: Float64Array, later: Float64Array, slot: number): number {
  const bit = 2 ** slot;
  let sum = 0;
  for (let at = 0; at < weights.length; at += (at & (bit - 1)) === bit - 1 ? bit + 1 : 1) {
    sum += weights[at]! * later[at]!;
  }
  return sum;
}

function mixed(not: number, without: Float64Array, is: number, withIt: Float64Array): Float64Array {
  const sum = new Float64Array(without.length);
  for (let at = 0; at < sum.length; at += 1) sum[at] = not * without[at]! + is * withIt[at]!;
  return sum;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let at = 0; at < a.length; at += 1) sum += a[at]! * b[at]!;
  return sum;
}
