import type { OpenVisit } from './horizon.ts';
import { Packing } from './packing.ts';
import { relaxedBound } from './relaxed.ts';
import { searchAll } from './search.ts';

/** Where each visit goes (`room.length` = nowhere), and what no plan can beat. */
export interface MixedPlan {
  readonly at: readonly number[];
  /** No plan has more visits in their windows than this. */
  readonly bound: number;
}

/** Tries to mend a plan: a count and not a time, so that the same plan comes out each time. */
const LEAST_MENDS = 10_000;
const MENDS_PER_VISIT = 40;
const MOST_MENDS = 60_000;
/** How readily a mend that makes things a little worse is kept; it cools down to none at the end. */
const SIDEWAYS = 0.2;

/**
 * A plan for visits of different lengths. Short visits first, each by a chain of moves where there
 * is no room; then the rest is forced in one by one and kept where nobody else falls out; then the
 * late ones; then offers are restored where that harms nothing. Small plans are searched through to
 * the exact optimum. Packing lengths is NP-hard in general, so the bound of the relaxed problem
 * stands beside the answer.
 */
export function placeMixed(room: readonly number[], visits: readonly OpenVisit[]): MixedPlan {
  const relaxed = relaxedBound(room, visits);
  const packing = new Packing(room, visits);
  const shortFirst = [...visits.entries()]
    .sort(([a, x], [b, y]) => x.places - y.places || x.latest - y.latest || a - b)
    .map(([v]) => v);
  fillWindows(packing, visits, shortFirst);
  mend(packing, visits, relaxed);
  fillLate(packing, visits, shortFirst);
  restoreOffers(packing, visits);
  const { at, proven } = searchAll(room, visits, packing.at);
  const inside = visits.filter((_, v) => packing.isInside(v, at[v] ?? room.length)).length;
  return { at, bound: proven ? inside : relaxed };
}

function fillWindows(
  packing: Packing,
  visits: readonly OpenVisit[],
  order: readonly number[],
): void {
  // What found no chain once will hardly find one when the weeks are fuller still.
  const refused = new Set<string>();
  for (const v of order) {
    const visit = visits[v];
    if (!visit) continue;
    const { earliest, latest, offered, places } = visit;
    if (packing.isInside(v, offered) && packing.roomIn(offered) >= places) {
      packing.put(v, offered);
      continue;
    }
    const key = `${earliest} ${latest} ${places}`;
    if (!refused.has(key) && !packing.seat(v, earliest, latest)) refused.add(key);
  }
}

/**
 * Forces visits that are left over into a week of their window, one at a time, and seats those that
 * must leave for it elsewhere. Kept if no more are left over than before; of equally many, who
 * stays out should be long, but as in annealing an exchange for a shorter one is kept now and then.
 */
function mend(packing: Packing, visits: readonly OpenVisit[], bound: number): void {
  const hopeful = [...visits.keys()].filter((v) => hasWindow(visits[v]));
  const left = hopeful.filter((v) => packing.at[v] === packing.weeks);
  const fewest = hopeful.length - bound;
  const random = sequence();
  const tries = Math.min(MOST_MENDS, Math.max(LEAST_MENDS, MENDS_PER_VISIT * visits.length));
  for (let tried = 0; tried < tries && left.length > fewest; tried += 1) {
    const i = Math.floor(random() * left.length);
    const v = left[i];
    const visit = v === undefined ? undefined : visits[v];
    if (v === undefined || !visit) return;
    const mark = packing.mark();
    const span = visit.latest - visit.earliest + 1;
    const week = visit.earliest + Math.floor(random() * span);
    const out = forceInto(packing, visits, v, week, random);
    const places = out?.reduce((sum, u) => sum + (visits[u]?.places ?? 0), 0) ?? 0;
    const sideways = random() * tries < SIDEWAYS * (tries - tried);
    const longEnough = places >= visit.places || sideways;
    if (out && (out.length === 0 || (out.length === 1 && longEnough))) left.splice(i, 1, ...out);
    else packing.undo(mark);
  }
}

function hasWindow(visit: OpenVisit | undefined): boolean {
  return visit !== undefined && visit.earliest <= visit.latest;
}

/**
 * Puts a visit into a week whatever is there; returns those who found no other week, or `undefined`
 * where the week is too small for it. The caller takes the moves back.
 */
function forceInto(
  packing: Packing,
  visits: readonly OpenVisit[],
  v: number,
  week: number,
  random: () => number,
): number[] | undefined {
  packing.put(v, week);
  const leavers: number[] = [];
  const insiders = packing.insiders(week).filter((u) => u !== v);
  while (packing.roomIn(week) < 0) {
    const short = -packing.roomIn(week);
    const enough = insiders.filter((u) => (visits[u]?.places ?? 0) >= short);
    const choice = enough.length > 0 && random() < 0.5 ? enough : insiders;
    const leaver = choice[Math.floor(random() * choice.length)];
    if (leaver === undefined) return undefined;
    insiders.splice(insiders.indexOf(leaver), 1);
    packing.put(leaver, packing.weeks);
    leavers.push(leaver);
  }
  leavers.sort((a, b) => (visits[b]?.places ?? 0) - (visits[a]?.places ?? 0));
  return leavers.filter((u) => {
    const visit = visits[u];
    return !visit || !packing.seat(u, visit.earliest, visit.latest);
  });
}

function fillLate(packing: Packing, visits: readonly OpenVisit[], order: readonly number[]): void {
  // Per length, weeks that nobody could be seated in: they only get fuller.
  const full = new Map<number, Set<number>>();
  for (const v of order) {
    const visit = visits[v];
    if (!visit || packing.at[v] !== packing.weeks) continue;
    const fullFor = full.get(visit.places) ?? new Set();
    full.set(visit.places, fullFor);
    const first = Math.max(visit.earliest, visit.latest + 1);
    for (let week = first; week < packing.weeks; week += 1) {
      if (fullFor.has(week)) continue;
      if (packing.seat(v, week, week)) break;
      fullFor.add(week);
    }
  }
}

/** Back to the week offered where there is room, or by changing places with a visit that may go. */
function restoreOffers(packing: Packing, visits: readonly OpenVisit[]): void {
  for (const [v, visit] of visits.entries()) {
    const from = packing.at[v] ?? packing.weeks;
    const to = visit.offered;
    if (from === to || !packing.isInside(v, to) || !packing.isInside(v, from)) continue;
    if (packing.roomIn(to) >= visit.places) {
      packing.put(v, to);
      continue;
    }
    const other = packing.insiders(to).find((u) => {
      const grows = visit.places - (visits[u]?.places ?? 0);
      const fits = packing.roomIn(to) >= grows && packing.roomIn(from) >= -grows;
      return fits && packing.isInside(u, from) && visits[u]?.offered !== to;
    });
    if (other === undefined) continue;
    packing.put(other, from);
    packing.put(v, to);
  }
}

/** Evenly spread numbers from 0 up to 1, the same ones each time (Numerical Recipes' generator). */
function sequence(): () => number {
  let state = 1;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}
