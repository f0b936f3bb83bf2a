import { addMonths } from '../calendar/day.ts';
import type { Instant } from '../calendar/instant.ts';
import { msOf } from '../calendar/instant.ts';
import type { LogEntry } from '../folding/position-log.ts';
import { DAMP, RAISED, timelineOf, WET } from '../folding/position-log.ts';

const HOUR = 3_600_000;

/** Before which instant records of a kind go; null where they are kept. */
export function cutoffOf(months: number, at: Instant): Instant | null {
  if (months <= 0) return null;
  return `${addMonths(at.slice(0, 10), -months)}${at.slice(10)}`;
}

/**
 * Which entries of one car's position log may go: those before the last proper rest that was complete by
 * the cutoff. So whatever is asked of
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
  for (let i = 0; i < marks.length && (times[i] ?? 0) <= end;) {
    const began = times[i] ?? 0;
    const position = (marks[i] ?? 0) & ~(DAMP | WET);
    // What was put up wet rests, for certain, from the word that it is dry.
    let restsFrom = Infinity;
    let next = i;
    for (; next < marks.length && ((marks[next] ?? 0) & ~(DAMP | WET)) === position; next++) {
      const time = times[next] ?? 0;
      if ((marks[next] ?? 0) & WET) restsFrom = Infinity;
      else restsFrom = Math.min(restsFrom, time);
    }
    const rested = Math.min(times[next] ?? Infinity, end) - restsFrom;
    if (position === RAISED && rested >= restHours * HOUR) kept = began;
    i = next;
  }
  return entries.filter(({ at }) => msOf(at) < kept);
}

// Behind every instant that can be recorded.
const NEVER = '9999-01-01T00:00:00.000Z';
