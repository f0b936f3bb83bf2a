import { addMonths } from '../calendar/day.ts';
import type { Instant } from '../calendar/instant.ts';
import { msOf } from '../calendar/instant.ts';
import type { LogEntry } from '../folding/position-log.ts';
import { HARD_TOP, RAISED, timelineOf } from '../folding/position-log.ts';

const HOUR = 3_600_000;

/** Before which instant records of a kind go; null where they are kept. */
export function cutoffOf(months: number, at: Instant): Instant | null {
  if (months <= 0) return null;
  return `${addMonths(at.slice(0, 10), -months)}${at.slice(10)}`;
}

/**
 * Which entries of one car's position log may go: those before the last proper rest that was complete by
 * the cutoff, or before the last time under the hard top that had begun by then. So whatever is asked of
 * the log from the cutoff on has the answer that it had before.
 */
export function entriesToForget<Entry extends LogEntry>(
  entries: readonly Entry[],
  cutoff: Instant,
  restHours: number,
): Entry[] {
  const { times, marks } = timelineOf(entries, NEVER);
  const end = msOf(cutoff);
  let kept = -Infinity;
  for (const [i, mark] of marks.entries()) {
    const time = times[i] ?? 0;
    // Raised again and again is one rest: it begins with the first of them.
    if (time > end || (i > 0 && marks[i - 1] === mark)) continue;
    const next = nextOther(times, marks, i);
    const rested = Math.min(next, end) - time;
    const isRest = mark === HARD_TOP || (mark === RAISED && rested >= restHours * HOUR);
    if (isRest) kept = time;
  }
  return entries.filter(({ at }) => msOf(at) < kept);
}

// Behind every instant that can be recorded.
const NEVER = '9999-01-01T00:00:00.000Z';

/** When another position than that of entry `i` was noted. */
function nextOther(times: Float64Array, marks: Uint8Array, i: number): number {
  for (let j = i + 1; j < marks.length; j++) {
    if (marks[j] !== marks[i]) return times[j] ?? Infinity;
  }
  return Infinity;
}
