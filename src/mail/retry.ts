import type { DeliveryFigures } from '../domain/letters/delivery-figures.ts';

const MINUTE_MS = 60_000;

/** Milliseconds to wait before attempt `attempts + 1`; `chance` is a random number in [0, 1). */
export function backOff(attempts: number, chance: number, figures: DeliveryFigures): number {
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
  figures: DeliveryFigures,
): string | null {
  const now = Date.parse(tried.now);
  const end = Date.parse(tried.firstAt) + figures.giveUpHours * 60 * MINUTE_MS;
  if (now >= end) return null;
  const next = now + backOff(tried.attempts, chance, figures);
  return new Date(Math.min(next, end)).toISOString();
}
