import type { Instant } from '../calendar/instant.ts';
import { msOf, toInstant } from '../calendar/instant.ts';
import type { LogEntry, Position } from './position-log.ts';
import { DAMP, FOLDED, positionOf, timelineOf, WET } from './position-log.ts';

/** Uninterrupted time in one position. */
export interface Spell {
  readonly position: Position;
  readonly from: Instant;
  readonly to: Instant;
}

export interface Spells {
  /** Oldest first. Time before the first entry is unknown and has no spell. */
  readonly items: Spell[];
  readonly longestFoldedHours: number;
  readonly foldedHours: number;
}

const HOUR = 3_600_000;

/**
 * The spells inside [from, to], cut off at both ends; the last position is taken to last until
 * `to`. Touching spells of one position are one spell. Hours are real hours of 'folded' alone: a
 * top under the hard top is laid up on purpose and counts for neither sum.
 */
export function spells(entries: readonly LogEntry[], from: Instant, to: Instant): Spells {
  const { times, marks } = timelineOf(entries, to);
  const first = msOf(from);
  const last = msOf(to);
  const items: Spell[] = [];
  let longest = 0;
  let sum = 0;
  for (let i = 0; i < times.length;) {
    const mark = (marks[i] ?? 0) & ~(DAMP | WET);
    const start = Math.max(times[i] ?? 0, first);
    while (i < times.length && ((marks[i] ?? 0) & ~(DAMP | WET)) === mark) i++;
    const end = Math.min(times[i] ?? last, last);
    if (end <= start) continue;
    items.push({ position: positionOf(mark), from: toInstant(start), to: toInstant(end) });
    if (mark !== FOLDED) continue;
    longest = Math.max(longest, end - start);
    sum += end - start;
  }
  return { items, longestFoldedHours: longest / HOUR, foldedHours: sum / HOUR };
}
