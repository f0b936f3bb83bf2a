import { priceOf, pricesFor } from './exact.ts';
import type { Prices } from './exact.ts';
import type { OpenVisit } from './horizon.ts';
import { relaxedBound } from './relaxed.ts';

/** Up to here a plan of mixed lengths is searched through; a fixed count, so answers repeat. */
const MOST_VISITS = 24;
const MOST_NODES = 6_000;

/**
 * Branch and bound over all plans of a few visits of mixed lengths, starting from a known plan.
 * `proven` says that the search ended before its limit: then nothing beats `at` in the goals.
 */
export function searchAll(
  room: readonly number[],
  visits: readonly OpenVisit[],
  start: readonly number[],
): { at: number[]; proven: boolean } {
  if (visits.length > MOST_VISITS) return { at: [...start], proven: false };
  const search = new Search(room, visits, start);
  search.descend(0, 0);
  return { at: search.best, proven: search.nodes <= MOST_NODES };
}

class Search {
  best: number[];
  nodes = 0;
  private bestPrice: number;
  private readonly weeks: number;
  private readonly room: number[];
  private readonly visits: readonly OpenVisit[];
  private readonly order: number[];
  private readonly rest: OpenVisit[][];
  private readonly at: number[];
  private readonly prices: Prices;

  constructor(room: readonly number[], visits: readonly OpenVisit[], start: readonly number[]) {
    this.weeks = room.length;
    this.room = [...room];
    this.visits = visits;
    this.best = [...start];
    this.at = visits.map(() => room.length);
    // Every visit moves at most once between two plans, so sums of this many prices compare.
    this.prices = pricesFor(visits.length, room.length);
    this.bestPrice = visits.reduce((sum, visit, v) => sum + this.price(visit, start[v]), 0);
    this.order = [...visits.keys()].sort((a, b) => {
      const [x, y] = [visits[a], visits[b]];
      return x && y ? y.places - x.places || likeness(x).localeCompare(likeness(y)) || a - b : 0;
    });
    const sorted = this.order.flatMap((v) => visits[v] ?? []);
    this.rest = [...sorted.keys(), sorted.length].map((depth) => sorted.slice(depth));
  }

  descend(depth: number, price: number): void {
    this.nodes += 1;
    if (this.nodes > MOST_NODES) return;
    const rest = this.rest[depth] ?? [];
    const outside = rest.length - relaxedBound(this.room, rest);
    if (price + outside * (this.prices.outside + this.prices.weekLate) >= this.bestPrice) return;
    const v = this.order[depth];
    const visit = v === undefined ? undefined : this.visits[v];
    if (v === undefined || !visit) {
      this.best = [...this.at];
      this.bestPrice = price;
      return;
    }
    for (const week of this.choices(depth, visit)) {
      this.at[v] = week;
      if (week < this.weeks) this.room[week] = (this.room[week] ?? 0) - visit.places;
      this.descend(depth + 1, price + this.price(visit, week));
      if (week < this.weeks) this.room[week] = (this.room[week] ?? 0) + visit.places;
    }
  }

  /** Weeks with room, cheapest first; of visits alike, a later one never goes to an earlier week. */
  private choices(depth: number, visit: OpenVisit): number[] {
    const previous = this.order[depth - 1];
    const twin = previous === undefined ? undefined : this.visits[previous];
    const from =
      previous !== undefined && twin && likeness(twin) === likeness(visit)
        ? (this.at[previous] ?? 0)
        : 0;
    const weeks: number[] = [];
    for (let w = Math.max(from, visit.earliest); w < this.weeks; w += 1) {
      if ((this.room[w] ?? 0) >= visit.places) weeks.push(w);
    }
    weeks.sort((a, b) => this.price(visit, a) - this.price(visit, b));
    return [...weeks, this.weeks];
  }

  private price(visit: OpenVisit, week: number | undefined): number {
    return priceOf(visit, week ?? this.weeks, this.weeks, this.prices);
  }
}

function likeness(visit: OpenVisit): string {
  return [visit.places, visit.earliest, visit.latest, visit.wasOffered, visit.offered].join(' ');
}
