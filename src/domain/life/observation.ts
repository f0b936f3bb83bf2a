/**
 * One life under watch. `time` is how long it was followed, in any unit as long as all use the
 * same; `event` is true if it failed then, false if it was still sound (censored).
 */
export interface Observation {
  readonly time: number;
  readonly event: boolean;
}

/** All lives that end at one time: how many stood in just before it, and how many failed. */
export interface Tie {
  readonly time: number;
  readonly atRisk: number;
  readonly events: number;
}

/**
 * Times at which something failed, earliest first. A life censored at the same time as a failure
 * still counts as at risk there, as is usual.
 * Throws RangeError naming the observation if a time is negative or not finite.
 */
export function eventTimes(observations: readonly Observation[]): Tie[] {
  requireTimes(observations);
  const sorted = observations.toSorted((a, b) => a.time - b.time);
  const ties: Tie[] = [];
  for (let from = 0; from < sorted.length;) {
    const time = sorted[from]!.time;
    let to = from;
    let events = 0;
    while (to < sorted.length && sorted[to]!.time === time) {
      if (sorted[to]!.event) events += 1;
      to += 1;
    }
    if (events > 0) ties.push({ time, atRisk: sorted.length - from, events });
    from = to;
  }
  return ties;
}

/** Throws RangeError naming the first observation whose time is not a finite number >= 0. */
export function requireTimes(observations: readonly Observation[]): void {
  observations.forEach(({ time }, index) => {
    if (!Number.isFinite(time) || time < 0) {
      throw new RangeError(`observations[${index}].time must be a finite number of zero or more`);
    }
  });
}
