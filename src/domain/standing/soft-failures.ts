import type { Instant } from '../calendar/instant.ts';
import { msOf } from '../calendar/instant.ts';
import { valuesOf } from '../figures/figure.ts';
import { STANDING_FIGURES } from './standing-figures.ts';
import type { StandingFigures } from './standing-figures.ts';

/** A letter that came back for a reason that may pass, such as a full mailbox. */
export interface SoftFailure {
  readonly letterId: string;
  readonly at: Instant;
}

const DAY_MS = 24 * 3_600_000;

/** Of the failures known, those that still count at an instant. */
export function failuresCounting(
  known: readonly SoftFailure[],
  at: Instant,
  figures: StandingFigures = valuesOf(STANDING_FIGURES),
): SoftFailure[] {
  const from = msOf(at) - figures.softDays * DAY_MS;
  return known.filter((failure) => msOf(failure.at) > from);
}

/**
 * Counts one more failure. A letter counts once, however often it is reported; what is older than
 * the figures remember is dropped. `dead`: there are now too many to write there again.
 */
export function withSoftFailure(
  known: readonly SoftFailure[],
  failure: SoftFailure,
  figures: StandingFigures = valuesOf(STANDING_FIGURES),
): { readonly failures: SoftFailure[]; readonly dead: boolean } {
  const counting = failuresCounting(known, failure.at, figures);
  const failures = counting.some(({ letterId }) => letterId === failure.letterId)
    ? counting
    : [...counting, failure];
  return { failures, dead: failures.length >= figures.softFailures };
}
