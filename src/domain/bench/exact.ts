/** Visits alike in every respect that the plan weighs; positions as in `OpenVisit`. */
export interface VisitClass {
  readonly earliest: number;
  readonly latest: number;
  /** Position of the week offered, or −1. */
  readonly offered: number;
  readonly wasOffered: boolean;
  readonly count: number;
}

/** Prices of the goals, in strict order: one step of a goal outweighs any sum of those below it. */
export interface Prices {
  readonly outside: number;
  readonly unplaced: number;
  readonly weekLate: number;
  readonly changed: number;
}

/** Ten years: past that the prices of a chain of moves no longer fit into whole doubles. */
export const MOST_WEEKS = 520;

/**
 * Prices under which sums of at most `moves` moves (each ±1 in a goal, ±`weeks` + 1 in lateness)
 * compare as the goals do: in the window, placed at all, weeks late, changed offers.
 */
export function pricesFor(moves: number, weeks: number): Prices {
  const changed = 1;
  const weekLate = 2 * moves * changed + 1;
  const unplaced = 2 * moves * ((weeks + 1) * weekLate + changed) + 1;
  const outside = 2 * moves * (unplaced + (weeks + 1) * weekLate + changed) + 1;
  return { outside, unplaced, weekLate, changed };
}

/** What it costs to have a visit in `week` (`weeks` = nowhere); `Infinity` ahead of its window. */
export function priceOf(
  visit: Omit<VisitClass, 'count'>,
  week: number,
  weeks: number,
  prices: Prices,
): number {
  const changed = visit.wasOffered && week !== visit.offered ? prices.changed : 0;
  if (week === weeks) return prices.outside + prices.unplaced + changed;
  if (week < visit.earliest) return Infinity;
  if (week <= visit.latest) return changed;
  return prices.outside + (week - visit.latest) * prices.weekLate + changed;
}

/**
 * The exact optimum where every visit takes one unit of `room`: how many of each class go to each
 * week, as rows of `room.length + 1` numbers, the last of them those that find no room.
 *
 * Minimum-cost flow by shortest augmenting paths with potentials (Hungarian method, row by row).
 * Only weeks are nodes: an arc between two weeks is the cheapest visit that can move, so a path
 * costs no more than weeks², however many visits there are. Most visits find a free week at once.
 */
export function placeEqual(room: readonly number[], classes: readonly VisitClass[]): Int32Array {
  const flow = new WeekFlow(room, classes);
  const dueFirst = [...classes.keys()].sort((a, b) => {
    const [x, y] = [classes[a], classes[b]];
    return x && y ? x.latest - y.latest || x.earliest - y.earliest || a - b : 0;
  });
  for (const k of dueFirst) flow.insert(k);
  return flow.held;
}

class WeekFlow {
  /** Of class k, in week w: `held[k * stride + w]`. */
  readonly held: Int32Array;
  private readonly weeks: number;
  private readonly stride: number;
  private readonly classes: readonly VisitClass[];
  private readonly free: Float64Array;
  private readonly price: Float64Array;
  private readonly present: number[][];
  private readonly potential: Float64Array;
  /** Cheapest move from week a to week b, and the class that makes it. */
  private readonly moveCost: Float64Array;
  private readonly mover: Int32Array;
  private readonly stale: Uint8Array;
  private readonly distance: Float64Array;
  private readonly cameFrom: Int32Array;
  private readonly settled: Uint8Array;

  constructor(room: readonly number[], classes: readonly VisitClass[]) {
    this.weeks = room.length;
    this.stride = room.length + 1;
    this.classes = classes;
    this.held = new Int32Array(classes.length * this.stride);
    this.free = Float64Array.from([...room, Infinity]);
    this.present = Array.from({ length: this.stride }, () => []);
    this.potential = new Float64Array(this.stride);
    this.moveCost = new Float64Array(this.stride * this.stride);
    this.mover = new Int32Array(this.stride * this.stride);
    this.stale = new Uint8Array(this.stride).fill(1);
    this.distance = new Float64Array(this.stride);
    this.cameFrom = new Int32Array(this.stride);
    this.settled = new Uint8Array(this.stride);
    this.price = new Float64Array(classes.length * this.stride);
    const prices = pricesFor(this.stride, this.weeks);
    for (const [k, visits] of classes.entries()) {
      for (let w = 0; w <= this.weeks; w += 1) {
        this.price[k * this.stride + w] = priceOf(visits, w, this.weeks, prices);
      }
    }
  }

  insert(k: number): void {
    let left = this.classes[k]?.count ?? 0;
    while (left > 0) {
      const end = this.shortestPath(k);
      left -= this.push(k, end, left);
    }
  }

  /** Settles weeks in order of distance until one with room; potentials follow the distances. */
  private shortestPath(k: number): number {
    const { weeks, stride, distance, potential, settled, cameFrom, free, moveCost } = this;
    settled.fill(0);
    cameFrom.fill(-1);
    for (let w = 0; w <= weeks; w += 1) {
      distance[w] = (this.price[k * stride + w] ?? Infinity) - (potential[w] ?? 0);
    }
    for (;;) {
      let at = -1;
      let least = Infinity;
      for (let w = 0; w <= weeks; w += 1) {
        const d = distance[w] ?? Infinity;
        if (settled[w] || d > least) continue;
        if (d < least || ((free[at] ?? 0) === 0 && (free[w] ?? 0) > 0)) {
          at = w;
          least = d;
        }
      }
      if ((free[at] ?? 0) > 0) {
        for (let w = 0; w <= weeks; w += 1) {
          if (settled[w]) potential[w] = (potential[w] ?? 0) + (distance[w] ?? 0) - least;
        }
        return at;
      }
      settled[at] = 1;
      if (this.stale[at]) this.rebuildMoves(at);
      const base = least + (potential[at] ?? 0);
      for (let w = 0; w <= weeks; w += 1) {
        if (settled[w]) continue;
        const d = base + (moveCost[at * stride + w] ?? Infinity) - (potential[w] ?? 0);
        if (d < (distance[w] ?? Infinity)) {
          distance[w] = d;
          cameFrom[w] = at;
        }
      }
    }
  }

  /** Sends as many of class k as the path to `end` bears, and says how many. */
  private push(k: number, end: number, wanted: number): number {
    let amount = Math.min(wanted, this.free[end] ?? 0);
    for (let to = end; (this.cameFrom[to] ?? -1) >= 0; to = this.cameFrom[to] ?? -1) {
      const from = this.cameFrom[to] ?? -1;
      const mover = this.mover[from * this.stride + to] ?? 0;
      amount = Math.min(amount, this.held[mover * this.stride + from] ?? 0);
    }
    let to = end;
    for (let from = this.cameFrom[to] ?? -1; from >= 0; from = this.cameFrom[to] ?? -1) {
      const mover = this.mover[from * this.stride + to] ?? 0;
      this.take(mover, from, amount);
      this.put(mover, to, amount);
      to = from;
    }
    this.put(k, to, amount);
    this.free[end] = (this.free[end] ?? 0) - amount;
    return amount;
  }

  private put(k: number, week: number, amount: number): void {
    const cell = k * this.stride + week;
    const before = this.held[cell] ?? 0;
    this.held[cell] = before + amount;
    if (before > 0) return;
    this.present[week]?.push(k);
    if (!this.stale[week]) this.offerMoves(k, week);
  }

  private take(k: number, week: number, amount: number): void {
    const cell = k * this.stride + week;
    const left = (this.held[cell] ?? 0) - amount;
    this.held[cell] = left;
    if (left > 0) return;
    const present = this.present[week] ?? [];
    present.splice(present.indexOf(k), 1);
    this.stale[week] = 1;
  }

  private rebuildMoves(week: number): void {
    this.moveCost.fill(Infinity, week * this.stride, (week + 1) * this.stride);
    for (const k of this.present[week] ?? []) this.offerMoves(k, week);
    this.stale[week] = 0;
  }

  private offerMoves(k: number, week: number): void {
    const { stride, price, moveCost, mover } = this;
    const here = price[k * stride + week] ?? 0;
    const row = week * stride;
    for (let to = this.classes[k]?.earliest ?? 0; to < stride; to += 1) {
      const cost = (price[k * stride + to] ?? Infinity) - here;
      if (cost < (moveCost[row + to] ?? Infinity)) {
        moveCost[row + to] = cost;
        mover[row + to] = k;
      }
    }
  }
}
