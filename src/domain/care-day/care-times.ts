import type { CareDayShape } from './care-day-shape.ts';
import { startsOf } from './care-day-shape.ts';
import type { Job } from './rota.ts';
import { rotaOf } from './rota.ts';

/** A car that has no time yet. */
export interface Wanting {
  readonly id: string;
  readonly minutes: number;
}

/** The times that are free for a car beside all that have one; benches and helpers may change hands. */
export function freeStarts(
  shape: CareDayShape,
  jobs: readonly Job[],
  { id, minutes }: Wanting,
  wish: Partial<Pick<Job, 'bench' | 'helperId'>> = {},
): number[] {
  const others = jobs.filter((job) => job.id !== id);
  return startsOf(shape, minutes).filter(
    (start) => rotaOf(shape, [...others, { ...anyWhere(id), ...wish, start, minutes }]) !== null,
  );
}

/**
 * Times for cars that have none, beside those that have one and keep it. The first in line is served
 * first where all find room; where not all do, more cars go before the order in the line, so the
 * short ones may pass a long one. The rule compares three ways of filling the day and takes the one
 * with the most cars, the earlier of them where they are equal; it does not claim that no other way
 * would hold one more.
 */
export function proposeTimes(
  shape: CareDayShape,
  jobs: readonly Job[],
  wanting: readonly Wanting[],
): Map<string, number> {
  const ways = [
    wanting,
    wanting.toSorted((a, b) => a.minutes - b.minutes),
    wanting.toSorted((a, b) => b.minutes - a.minutes),
  ];
  let best = new Map<string, number>();
  for (const way of ways) {
    const found = fill(shape, jobs, way);
    if (found.size > best.size) best = found;
    if (best.size === wanting.length) break;
  }
  return best;
}

function fill(
  shape: CareDayShape,
  jobs: readonly Job[],
  wanting: readonly Wanting[],
): Map<string, number> {
  const taken = [...jobs];
  const found = new Map<string, number>();
  for (const { id, minutes } of wanting) {
    const start = startsOf(shape, minutes).find(
      (at) => rotaOf(shape, [...taken, { ...anyWhere(id), start: at, minutes }]) !== null,
    );
    if (start === undefined) continue;
    taken.push({ ...anyWhere(id), start, minutes });
    found.set(id, start);
  }
  return found;
}

function anyWhere(id: string) {
  return { id, bench: null, helperId: null };
}
