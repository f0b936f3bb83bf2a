import type { OpenVisit } from './horizon.ts';

/**
 * The most visits that can lie in their windows if a visit may be split over weeks and counts by
 * the share of it that is placed: no plan of whole visits beats it. Rounded down for each group of
 * weeks that no window leaves, and a week's room is first cut to what whole visits can fill.
 *
 * Split visits in intervals form a polymatroid (Hall's condition in places), so serving the shortest
 * visits first is the exact optimum of that relaxed problem, without a solver.
 */
export function relaxedBound(room: readonly number[], visits: readonly OpenVisit[]): number {
  const inside = visits.filter((visit) => visit.earliest <= visit.latest);
  const usable = usableRoom(room, inside);
  const firsts = [...new Set(inside.map((visit) => visit.earliest))].sort((a, b) => a - b);
  const lasts = [...new Set(inside.map((visit) => visit.latest))].sort((a, b) => a - b);
  const before = [0];
  for (const [w, places] of usable.entries()) before.push((before[w] ?? 0) + places);
  const slack = firsts.map((a) =>
    Float64Array.from(lasts, (b) => (b < a ? Infinity : (before[b + 1] ?? 0) - (before[a] ?? 0))),
  );
  const groups = groupsOf(room.length, inside);
  const served = new Float64Array(room.length);
  for (const visit of inside.toSorted((a, b) => a.places - b.places)) {
    const rows = slack.slice(0, firsts.indexOf(visit.earliest) + 1);
    const column = lasts.indexOf(visit.latest);
    let fits = visit.places;
    for (const row of rows) {
      for (let b = column; b < row.length; b += 1) fits = Math.min(fits, row[b] ?? 0);
    }
    if (fits <= 0) continue;
    for (const row of rows) {
      for (let b = column; b < row.length; b += 1) row[b] = (row[b] ?? 0) - fits;
    }
    const group = groups[visit.earliest] ?? 0;
    served[group] = (served[group] ?? 0) + fits / visit.places;
  }
  // Shares are sums of fractions: a whole number may come out a hair short.
  return served.reduce((sum, visitsServed) => sum + Math.floor(visitsServed + 1e-9), 0);
}

/** The largest sum of lengths, each visit at most once, that fits into each week. */
function usableRoom(room: readonly number[], visits: readonly OpenVisit[]): number[] {
  return room.map((places, week) => {
    const counts = new Map<number, number>();
    for (const visit of visits) {
      if (visit.earliest > week || week > visit.latest || visit.places > places) continue;
      counts.set(visit.places, (counts.get(visit.places) ?? 0) + 1);
    }
    return fullest(places, counts);
  });
}

/** The largest sum up to `places` of the given lengths, each as often as it is there. */
export function fullest(places: number, counts: ReadonlyMap<number, number>): number {
  const reach = new Uint8Array(places + 1);
  reach[0] = 1;
  for (const [length, count] of counts) {
    // used[s]: how many of this length the sum s needs, over sums reached without it.
    const used = new Int32Array(places + 1);
    for (let sum = length; sum <= places; sum += 1) {
      const needed = (used[sum - length] ?? 0) + 1;
      if (reach[sum] || !reach[sum - length] || needed > count) continue;
      reach[sum] = 1;
      used[sum] = needed;
    }
  }
  return reach.lastIndexOf(1);
}

/** Per week the first week of its group: groups are parted where no window spans the boundary. */
function groupsOf(weeks: number, visits: readonly OpenVisit[]): number[] {
  const furthest = Array.from({ length: weeks }, (_, w) => w);
  for (const visit of visits) {
    furthest[visit.earliest] = Math.max(furthest[visit.earliest] ?? 0, visit.latest);
  }
  const groups: number[] = [];
  let start = 0;
  let end = -1;
  for (let w = 0; w < weeks; w += 1) {
    if (w > end) start = w;
    end = Math.max(end, furthest[w] ?? w);
    groups.push(start);
  }
  return groups;
}
