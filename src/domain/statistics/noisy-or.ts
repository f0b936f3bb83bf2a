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
 * Time and memory: some passes over as many numbers as `eliminationOf` says.
 */
export function noisyOrPosterior(net: NoisyOr, evidence: NoisyEvidence): NoisyPosterior {
  const { chances, odds, constant } = withoutSeen(net, evidence);
  const { order } = eliminationOf(net, evidence);
  const byItself = new Map([...evidence.seen].map((sign) => [sign, 1]));
  if (order.length === 0) return { chances, evidence: constant, byItself };
  let forward: Float64Array = Float64Array.of(1);
  const before: Float64Array[] = [];
  const present: Float64Array[] = [];
  for (const { cause, opens, brings, closes } of order) {
    const [not, is] = odds[cause]!;
    const open = opened(forward, opens);
    const brought = open.slice();
    for (const { at, chance } of brings) bring(brought, at, chance);
    before.push(open);
    present.push(brought);
    forward = mixed(not, open, is, brought);
    for (const { at, leak } of closes) forward = closed(forward, at, leak);
  }
  let backward: Float64Array = Float64Array.of(1);
  for (let i = order.length - 1; i >= 0; i -= 1) {
    const { cause, opens, brings, closes } = order[i]!;
    const [not, is] = odds[cause]!;
    for (const { at, leak } of closes.toReversed()) backward = reopened(backward, at, leak);
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
    for (const { at, chance } of brings) takeBack(brought, at, chance);
    // Before its first cause a sign was brought by none: the lower half is what is left.
    backward = mixed(not, backward, is, brought).slice(0, backward.length / 2 ** opens);
  }
  return { chances, evidence: constant * forward[0]!, byItself };
}

/** One cause in the order in which they are taken. Places are bits in the number of a state. */
interface Step {
  readonly cause: number;
  /** How many signs it is the first cause of; they take the highest places. */
  readonly opens: number;
  readonly brings: readonly { readonly at: number; readonly chance: number }[];
  /** Signs of which it is the last cause: their places before any of them closes, and at its turn. */
  readonly closes: readonly {
    readonly sign: number;
    readonly slot: number;
    readonly at: number;
    readonly leak: number;
  }[];
}

/**
 * The order in which the causes of the seen signs are taken: each time the one after which the
 * fewest signs are open, the first of those that are alike. `width` is the most open at once;
 * `numbers` are kept at all steps together, 2 to the power of the signs that are open at each.
 */
export function eliminationOf(
  net: NoisyOr,
  evidence: Pick<NoisyEvidence, 'seen' | 'out'>,
): { readonly order: readonly Step[]; readonly width: number; readonly numbers: number } {
  const signsOf = new Map<number, Map<number, number>>();
  const left = new Map<number, Set<number>>();
  for (const { cause, sign, chance } of tyingLinks(net, evidence)) {
    signsOf.set(cause, (signsOf.get(cause) ?? new Map<number, number>()).set(sign, chance));
    left.set(sign, (left.get(sign) ?? new Set<number>()).add(cause));
  }
  const open: number[] = [];
  const order: Step[] = [];
  let width = 0;
  let numbers = 0;
  const waiting = [...signsOf.keys()].sort((a, b) => a - b);
  while (waiting.length > 0) {
    const next = fewestOpenAfter(waiting, signsOf, left, open);
    waiting.splice(waiting.indexOf(next), 1);
    const signs = [...(signsOf.get(next) ?? [])].sort(([a], [b]) => a - b);
    const first = signs.flatMap(([sign]) => (open.includes(sign) ? [] : [sign]));
    open.push(...first);
    width = Math.max(width, open.length);
    numbers += 2 ** open.length;
    const brings = signs.map(([sign, chance]) => ({ at: open.indexOf(sign), chance }));
    const last = signs.flatMap(([sign]) => {
      left.get(sign)?.delete(next);
      return left.get(sign)?.size === 0 ? [{ sign, slot: open.indexOf(sign) }] : [];
    });
    const closes = last.map(({ sign, slot }) => {
      const at = open.indexOf(sign);
      open.splice(at, 1);
      return { sign, slot, at, leak: net.leaks[sign] ?? 0 };
    });
    order.push({ cause: next, opens: first.length, brings, closes });
  }
  return { order, width, numbers };
}

function fewestOpenAfter(
  waiting: readonly number[],
  signsOf: ReadonlyMap<number, ReadonlyMap<number, number>>,
  left: ReadonlyMap<number, ReadonlySet<number>>,
  open: readonly number[],
): number {
  let next = -1;
  let fewest = Infinity;
  for (const cause of waiting) {
    let opens = 0;
    for (const sign of signsOf.get(cause)?.keys() ?? []) {
      if (!open.includes(sign)) opens += 1;
      if (left.get(sign)?.size === 1) opens -= 1;
    }
    if (opens < fewest) [next, fewest] = [cause, opens];
  }
  return next;
}

/** What ties causes together: the links from causes that are not out to the signs seen. */
function tyingLinks(
  { links }: NoisyOr,
  { seen, out }: Pick<NoisyEvidence, 'seen' | 'out'>,
): NoisyLink[] {
  return links.filter(({ cause, sign, chance }) => seen.has(sign) && !out.has(cause) && chance > 0);
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

/** The weights with so many signs more, none of them brought. */
function opened(weights: Float64Array, signs: number): Float64Array {
  if (signs === 0) return weights;
  const wider = new Float64Array(weights.length * 2 ** signs);
  wider.set(weights);
  return wider;
}

function bring(weights: Float64Array, place: number, chance: number): void {
  const bit = 2 ** place;
  for (let from = 0; from < weights.length; from += 2 * bit) {
    for (let at = from; at < from + bit; at += 1) {
      weights[at + bit]! += chance * weights[at]!;
      weights[at]! *= 1 - chance;
    }
  }
}

/** The transpose of `bring`. */
function takeBack(weights: Float64Array, place: number, chance: number): void {
  const bit = 2 ** place;
  for (let from = 0; from < weights.length; from += 2 * bit) {
    for (let at = from; at < from + bit; at += 1) {
      weights[at] = (1 - chance) * weights[at]! + chance * weights[at + bit]!;
    }
  }
}

/** The weights without a sign that has no cause left: what no cause brought came by itself. */
function closed(weights: Float64Array, place: number, leak: number): Float64Array {
  const bit = 2 ** place;
  const narrower = new Float64Array(weights.length / 2);
  for (let from = 0; from < narrower.length; from += bit) {
    for (let i = 0; i < bit; i += 1) {
      narrower[from + i] = leak * weights[2 * from + i]! + weights[2 * from + bit + i]!;
    }
  }
  return narrower;
}

/** The transpose of `closed`. */
function reopened(weights: Float64Array, place: number, leak: number): Float64Array {
  const bit = 2 ** place;
  const wider = new Float64Array(weights.length * 2);
  for (let from = 0; from < weights.length; from += bit) {
    for (let i = 0; i < bit; i += 1) {
      wider[2 * from + i] = leak * weights[from + i]!;
      wider[2 * from + bit + i] = weights[from + i]!;
    }
  }
  return wider;
}

/** The part of the weight in which no cause has brought the sign of this place. */
function unbrought(weights: Float64Array, later: Float64Array, place: number): number {
  const bit = 2 ** place;
  let sum = 0;
  for (let from = 0; from < weights.length; from += 2 * bit) {
    for (let at = from; at < from + bit; at += 1) sum += weights[at]! * later[at]!;
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
