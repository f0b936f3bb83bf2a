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
