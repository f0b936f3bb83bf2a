import type { Instant } from '../calendar/instant.ts';
import { msOf } from '../calendar/instant.ts';

export type Position = 'raised' | 'folded' | 'folded-under-hard-top';

export const POSITIONS = [
  'raised',
  'folded',
  'folded-under-hard-top',
] as const satisfies readonly Position[];

/** What somebody noted about the top at an instant. */
export interface LogEntry {
  readonly position: Position;
  readonly at: Instant;
  /** The top went down damp, or was put up while it was still damp. Says nothing under the hard top. */
  readonly damp?: boolean | undefined;
  /** Taken back: counts for nothing. */
  readonly withdrawn?: boolean | undefined;
  readonly id?: string | undefined;
}

/** The log boiled down to one position an instant, oldest first; both lists are equally long. */
export interface Timeline {
  /** Milliseconds since 1970-01-01T00:00Z. */
  readonly times: Float64Array;
  /** What held from then on: `RAISED`, `RAISED | WET`, `FOLDED`, `FOLDED | DAMP` or `HARD_TOP`. */
  readonly marks: Uint8Array;
}

export const RAISED = 1;
export const FOLDED = 2;
export const DAMP = 4;
export const HARD_TOP = 8;
/** Beside `RAISED`: put up, or said to be, while still damp. */
export const WET = 16;

/** Instant and mark share one number while they are sorted: well under 2^53 for centuries. */
const MARKS = 32;

/**
 * The valid entries up to an instant as a timeline. It depends on nothing but which positions the
 * valid entries note at which instants, so neither order nor repetition of entries can matter.
 *
 * Several positions at one instant: where one of them is what held before, nothing has changed, for
 * the top went there and back in no time. Otherwise the one that warns most holds: folded before
 * raised (a rest may be short), raised before under the hard top (where no clock runs), damp before dry.
 */
export function timelineOf(entries: readonly LogEntry[], until: Instant): Timeline {
  const packed = packedEntries(entries, msOf(until));
  const times = new Float64Array(packed.length);
  const marks = new Uint8Array(packed.length);
  let length = 0;
  let held = 0;
  for (let i = 0; i < packed.length;) {
    const time = Math.floor((packed[i] ?? 0) / MARKS);
    let noted = 0;
    for (; i < packed.length; i++) {
      const next = packed[i] ?? 0;
      if (Math.floor(next / MARKS) !== time) break;
      noted |= next - time * MARKS;
    }
    held = holding(noted, held);
    times[length] = time;
    marks[length++] = held;
  }
  return { times: times.subarray(0, length), marks: marks.subarray(0, length) };
}

/** The position that a mark of a timeline stands for. */
export function positionOf(mark: number): Position {
  if (mark & FOLDED) return 'folded';
  return mark & RAISED ? 'raised' : 'folded-under-hard-top';
}

function packedEntries(entries: readonly LogEntry[], until: number): Float64Array {
  const packed = new Float64Array(entries.length);
  let length = 0;
  let sorted = true;
  let last = -Infinity;
  for (const entry of entries) {
    if (entry.withdrawn) continue;
    const time = msOf(entry.at);
    if (time > until) continue;
    const value = time * MARKS + markOf(entry);
    sorted &&= value >= last;
    last = value;
    packed[length++] = value;
  }
  const counted = packed.subarray(0, length);
  return sorted ? counted : counted.sort();
}

function markOf(entry: LogEntry): number {
  if (entry.position === 'folded') return entry.damp ? FOLDED | DAMP : FOLDED;
  if (entry.position === 'raised') return entry.damp ? RAISED | WET : RAISED;
  return HARD_TOP;
}

/** What holds after an instant at which `noted` was noted and before which `held` held. */
function holding(noted: number, held: number): number {
  const unchanged = noted & held & ~(DAMP | WET);
  const position = unchanged || noted & FOLDED || noted & RAISED || HARD_TOP;
  if (position === FOLDED) return FOLDED | (noted & DAMP);
  return position === RAISED ? RAISED | (noted & WET) : position;
}
