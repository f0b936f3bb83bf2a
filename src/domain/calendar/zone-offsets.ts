import { Temporal } from 'temporal-polyfill';

/** A time during which one offset from UTC holds. */
export interface OffsetSpan {
  /** Milliseconds to add to UTC for the wall clock. */
  readonly offset: number;
  /** First instant, in milliseconds, at which another offset may hold. */
  readonly until: number;
}

interface ZoneYear {
  readonly spans: readonly OffsetSpan[];
}

// Asking Temporal costs some hundred times as much as looking here. A zone has at most a few changes
// a year, and years are limited, so the cache stays small.
const zones = new Map<string, Map<number, ZoneYear>>();

/** The offset that holds in a zone at an instant, and until when it is known to hold. */
export function offsetSpanAt(zone: string, ms: number): OffsetSpan {
  const { spans } = zoneYear(zone, new Date(ms).getUTCFullYear());
  for (const span of spans) if (ms < span.until) return span;
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

const DAY = 86_400_000;

function zoneYear(zone: string, year: number): ZoneYear {
  let years = zones.get(zone);
  if (!years) zones.set(zone, (years = new Map()));
  let known = years.get(year);
  if (!known) years.set(year, (known = askTemporal(zone, year)));
  return known;
}

function askTemporal(zone: string, year: number): ZoneYear {
  const end = Date.UTC(year + 1, 0, 1);
  const spans: OffsetSpan[] = [];
  let from = Temporal.Instant.fromEpochMilliseconds(Date.UTC(year, 0, 1)).toZonedDateTimeISO(zone);
  for (;;) {
    const next = from.getTimeZoneTransition('next');
    const until = Math.min(next ? next.epochMilliseconds : end, end);
    spans.push({ offset: Math.round(from.offsetNanoseconds / 1e6), until });
    if (!next || until >= end) return { spans };
    from = next;
  }
}
