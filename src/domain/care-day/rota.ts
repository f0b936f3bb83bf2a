import type { CareDayShape, Helper } from './care-day-shape.ts';
import { minutesAt, stretchesOf } from './care-day-shape.ts';

/** A car that comes at a time, in minutes from midnight. */
export interface Job {
  readonly id: string;
  readonly start: number;
  readonly minutes: number;
  /** The bench that it was put to by hand, from 1; any where null. */
  readonly bench: number | null;
  /** Who was told by hand to work on it; anybody where null. */
  readonly helperId: string | null;
}

/** A car with its time, its bench and who works on it. */
export interface Post {
  readonly id: string;
  readonly start: number;
  readonly end: number;
  readonly bench: number;
  readonly helperId: string;
}

// Far more than a day of forty cars needs; a day that is harder counts as one without room.
const MOST_STEPS = 20_000;

/**
 * The rota of a care day: each car at its time to a bench of its own and to one helper who is there
 * for all of it, so that no bench has two cars at once and no helper two jobs. Of several who are
 * free, the one with the least work so far has it. Null where the times cannot all be kept, or where
 * that cannot be told within bounded work. The same jobs give the same rota, in any order.
 */
export function rotaOf(shape: CareDayShape, jobs: readonly Job[]): Post[] | null {
  if (!jobs.every((job) => isWithin(shape, job)) || isCrowded(shape, jobs)) return null;
  const inOrder = jobs.toSorted((a, b) => a.start - b.start || (a.id < b.id ? -1 : 1));
  const posts: Post[] = [];
  let steps = 0;
  const placeFrom = (nth: number): boolean => {
    const job = inOrder[nth];
    if (job === undefined) return true;
    const clashing = posts.filter(({ end }) => end > job.start);
    for (const bench of benchesFor(shape, job, clashing, inOrder.slice(nth + 1))) {
      for (const helper of helpersFor(shape, job, posts, inOrder.slice(nth + 1))) {
        steps += 1;
        if (steps > MOST_STEPS) return false;
        posts.push({ ...postOf(job), bench, helperId: helper.id });
        if (placeFrom(nth + 1)) return true;
        posts.pop();
      }
    }
    return false;
  };
  return placeFrom(0) ? posts : null;
}

function postOf({ id, start, minutes }: Job) {
  return { id, start, end: start + minutes };
}

function isWithin(shape: CareDayShape, { start, minutes }: Job): boolean {
  return stretchesOf(shape).some(([from, until]) => start >= from && start + minutes <= until);
}

/**
 * The benches worth a try. They are alike but for the cars that somebody puts to one by hand: where no
 * such car is still to come, the first free one will do.
 */
function benchesFor(
  { benches }: CareDayShape,
  job: Job,
  clashing: readonly Post[],
  later: readonly Job[],
): number[] {
  const end = job.start + job.minutes;
  const promised = new Set(later.flatMap((one) => (one.start < end ? [one.bench] : [])));
  const free = Array.from({ length: benches }, (_, i) => i + 1).filter(
    (bench) => clashing.every((post) => post.bench !== bench) && !promised.has(bench),
  );
  if (job.bench !== null) return free.filter((bench) => bench === job.bench);
  return later.some(({ bench }) => bench !== null) ? free : free.slice(0, 1);
}

/** Whether more cars are there at once than benches or people: then no search is needed. */
function isCrowded({ benches, helpers }: CareDayShape, jobs: readonly Job[]): boolean {
  return jobs.some(({ start: at }) => {
    const there = helpers.filter(
      ({ from, until }) => minutesAt(from) <= at && minutesAt(until) > at,
    ).length;
    const cars = jobs.filter(({ start, minutes }) => start <= at && start + minutes > at).length;
    return cars > Math.min(benches, there);
  });
}

/**
 * Who could do it, the one with the least work so far first. Of those who are there for the same hours
 * one is enough to try, unless somebody put a later car to them by hand.
 */
function helpersFor(
  { helpers }: CareDayShape,
  { start, minutes, helperId }: Job,
  posts: readonly Post[],
  later: readonly Job[],
): Helper[] {
  const end = start + minutes;
  const worked = (id: string) =>
    posts.reduce((sum, post) => (post.helperId === id ? sum + post.end - post.start : sum), 0);
  const free = helpers
    .filter(
      ({ id, from, until }) =>
        (helperId === null || helperId === id) &&
        minutesAt(from) <= start &&
        end <= minutesAt(until) &&
        posts.every((post) => post.helperId !== id || post.end <= start),
    )
    .toSorted((a, b) => worked(a.id) - worked(b.id) || (a.id < b.id ? -1 : 1));
  const named = new Set(later.map((one) => one.helperId));
  return free.filter(
    (one, i) =>
      named.has(one.id) ||
      free.findIndex(
        (other) => !named.has(other.id) && other.from === one.from && other.until === one.until,
      ) === i,
  );
}

/** A rota of what can be kept, and the cars whose time cannot: a helper fell away, say. */
export interface KeptRota {
  readonly posts: readonly Post[];
  readonly unkept: readonly Job[];
}

/** The rota as far as it goes: cars in the order of their times, each that still fits with the others. */
export function rotaAsFarAsKept(shape: CareDayShape, jobs: readonly Job[]): KeptRota {
  const whole = rotaOf(shape, jobs);
  if (whole !== null) return { posts: whole, unkept: [] };
  const kept: Job[] = [];
  const unkept: Job[] = [];
  for (const job of jobs.toSorted((a, b) => a.start - b.start || (a.id < b.id ? -1 : 1))) {
    if (rotaOf(shape, [...kept, job]) === null) unkept.push(job);
    else kept.push(job);
  }
  return { posts: rotaOf(shape, kept) ?? [], unkept };
}
