import type { Instant } from '../calendar/instant.ts';
import { msOf } from '../calendar/instant.ts';
import { plusCalendarDays } from '../calendar/zone.ts';
import { valuesOf } from '../figures/figure.ts';
import type { FoldingValues } from './folding-figures.ts';
import { FOLDING_FIGURES } from './folding-figures.ts';

const DAY = 86_400_000;

/**
 * From when on it is told that a limit is met: to whoever got the car after that, since then.
 */
export function overFor(overAt: Instant, ownerSince: Instant | undefined): Instant {
  return ownerSince !== undefined && ownerSince > overAt ? ownerSince : overAt;
}

/** The nth instant, n weeks after the limit by the clock on the wall, to say that it still stands. */
export function stillAt(
  zone: string,
  overAt: Instant,
  n: number,
  figures: FoldingValues = valuesOf(FOLDING_FIGURES),
): Instant {
  return plusCalendarDays(zone, overAt, n * figures.stillEveryDays);
}

/** How many of the instants of `stillAt` have come by an instant; 0 before the first. */
export function stillsBy(
  zone: string,
  overAt: Instant,
  at: Instant,
  figures: FoldingValues = valuesOf(FOLDING_FIGURES),
): number {
  const apart = figures.stillEveryDays * DAY;
  // A change of the clocks can put the count wrong by one either way, never by more.
  let n = Math.max(0, Math.floor((msOf(at) - msOf(overAt)) / apart) + 1);
  while (n > 0 && stillAt(zone, overAt, n, figures) > at) n--;
  return n;
}
