/**
 * A life known to have ended after `after` and no later than `by`, as where a loss is seen at a
 * visit; `by` is null while it was still sound at `after`. Any unit, as long as all use the same.
 */
export interface IntervalLife {
  readonly after: number;
  readonly by: number | null;
  /** What lives share that are not independent, such as their car; absent: one of its own. */
  readonly cluster?: string;
}

/**
 * Throws RangeError naming the first life whose `after` is not a finite number >= 0, or whose `by` is
 * not a finite number above it.
 */
export function requireIntervals(lives: readonly IntervalLife[]): void {
  lives.forEach(({ after, by }, index) => {
    if (!Number.isFinite(after) || after < 0) {
      throw new RangeError(`lives[${index}].after must be a finite number of zero or more`);
    }
    if (by !== null && !(Number.isFinite(by) && by > after)) {
      throw new RangeError(`lives[${index}].by must be a finite number above after`);
    }
  });
}

/** So many lives of which the looks tell the same. */
export interface AlikeLives {
  readonly after: number;
  readonly by: number | null;
  readonly n: number;
}

/**
 * Lives counted by their interval, with the place of each life's own count among them: what is reckoned of
 * one life need be reckoned once of all that are alike, as the parts of one car mostly are.
 */
export function countAlike(lives: readonly IntervalLife[]): {
  readonly alike: readonly AlikeLives[];
  readonly placeOf: readonly number[];
} {
  const alike: { after: number; by: number | null; n: number }[] = [];
  const places = new Map<number, Map<number | null, number>>();
  const placeOf = lives.map(({ after, by }) => {
    let sameStart = places.get(after);
    if (sameStart === undefined) places.set(after, (sameStart = new Map()));
    let place = sameStart.get(by);
    if (place === undefined) {
      place = alike.push({ after, by, n: 0 }) - 1;
      sameStart.set(by, place);
    }
    alike[place]!.n += 1;
    return place;
  });
  return { alike, placeOf };
}
