import { Temporal } from 'temporal-polyfill';

/** A time during which one offset from UTC holds. */
export interface OffsetSpan {
  /** Milliseconds to add to UTC for the wall clock. */
  readonly offset: number;
  /** First instant, in milliseconds, at which another offset may hold. */
  readonly until: number;
}

// Asking Temporal costs some hundred times as much as looking here. A zone has at most a few changes
// a year, and years are limited, so the cache stays small.
const zones = new Map<string, Map<number, readonly OffsetSpan[]>>();
const DAY = 86_400_000;

/** The offset that holds in a zone at an instant, and until when it is known to hold. */
export function offsetSpanAt(zone: string, ms: number): OffsetSpan {
  for (const span of spansOfYear(zone, new Date(ms).getUTCFullYear()))
    if (ms < span.until) return span;
  throw new RangeError('An instant outside the years that a zone can be asked for');
}

/**
 * The instant of a wall clock, both in milliseconds. Twice-told times take the first, skipped times
 * are moved forward by the length of the gap: Temporal's 'compatible', RFC 5545 section 3.3.5.
 */
export function msAtWallClock(zone: string, wallClock: number): number {
  const before = offsetSpanAt(zone, wallClock - DAY).offset;
  const after = offsetSpanAt(zone, wallClock + DAY).offset;
  const first = wallClock - before;
  if (before === after || offsetSpanAt(zone, first).offset === before) return first;
  const second = wallClock - after;
  return offsetSpanAt(zone, second).offset === after ? second : first;
}

function spansOfYear(zone: string, year: number): readonly OffsetSpan[] {
  const known = zones.get(zone)?.get(year);
  if (known) return known;
  const spans = askTemporal(zone, year);
  const years = zones.get(zone) ?? new Map<number, readonly OffsetSpan[]>();
  zones.set(zone, years.set(year, spans));
  return spans;
}

function askTemporal(zone: string, year: number): OffsetSpan[] {
  const end = Date.UTC(year + 1, 0, 1);
  const spans: OffsetSpan[] = [];
  let from = Temporal.Instant.fromEpochMilliseconds(Date.UTC(year, 0, 1)).toZonedDateTimeISO(zone);
  for (;;) {
    const next = from.getTimeZoneTransition('next');
    const until = Math.min(next ? next.epochMilliseconds : end, end);
    spans.push({ offset: Math.round(from.offsetNanoseconds / 1e6), until });
    if (!next || until >= end) return spans;
    from = next;
  }
}
