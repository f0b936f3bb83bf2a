import type { FigureTable, FigureValues } from '../domain/figures/figure.ts';
import { valuesOf } from '../domain/figures/figure.ts';

const MINUTE = 'min';

/** Waiting times between attempts. */
export const RETRY_TABLE = {
  wait1: {
    value: 1,
    unit: MINUTE,
    mark: 'common practice, no source',
    source: 'before the second attempt',
  },
  wait2: { value: 5, unit: MINUTE, mark: 'common practice, no source', source: 'before the third' },
  wait3: {
    value: 15,
    unit: MINUTE,
    mark: 'common practice, no source',
    source: 'before the fourth',
  },
  wait4: {
    value: 60,
    unit: MINUTE,
    mark: 'common practice, no source',
    source: 'before the fifth',
  },
  wait5: {
    value: 240,
    unit: MINUTE,
    mark: 'common practice, no source',
    source: 'before the sixth',
  },
  wait6: {
    value: 720,
    unit: MINUTE,
    mark: 'common practice, no source',
    source: 'before every later one',
  },
  jitter: {
    value: 0.2,
    unit: 'share of the wait, either way',
    mark: 'common practice, no source',
    source: 'letters that failed together do not come back together',
  },
  giveUpAfter: {
    value: 48,
    unit: 'h after the first attempt',
    mark: 'shop rule',
    source: 'RFC 5321 section 4.5.4.1 suggests 4 to 5 days; a late reminder is worth less',
    min: 4,
    max: 120,
  },
} as const satisfies FigureTable;

export type RetryFigures = FigureValues<typeof RETRY_TABLE>;

const MINUTE_MS = 60_000;

/** Milliseconds to wait before attempt `attempts + 1`; `chance` is a random number in [0, 1). */
export function backOff(
  attempts: number,
  chance: number,
  figures: RetryFigures = valuesOf(RETRY_TABLE),
): number {
  const { wait1, wait2, wait3, wait4, wait5, wait6, jitter } = figures;
  const waits = [wait1, wait2, wait3, wait4, wait5, wait6];
  const wait = waits[Math.min(Math.max(attempts, 1), waits.length) - 1] ?? wait6;
  return Math.round(wait * MINUTE_MS * (1 + jitter * (2 * chance - 1)));
}

/**
 * The instant of the next attempt after one that may be repeated, or null when it is time to give
 * up. The last attempt is drawn forward to the end of the span rather than lost beyond it.
 * `attempts` counts those already made; `firstAt` is the instant of the first one.
 */
export function nextAttempt(
  tried: { readonly attempts: number; readonly firstAt: string; readonly now: string },
  chance: number,
  figures: RetryFigures = valuesOf(RETRY_TABLE),
): string | null {
  const now = Date.parse(tried.now);
  const end = Date.parse(tried.firstAt) + figures.giveUpAfter * 60 * MINUTE_MS;
  if (now >= end) return null;
  const next = now + backOff(tried.attempts, chance, figures);
  return new Date(Math.min(next, end)).toISOString();
}
