import type { Instant } from '../calendar/instant.ts';
import { msOf, toInstant } from '../calendar/instant.ts';
import { plusCalendarDays } from '../calendar/zone.ts';
import { valuesOf } from '../figures/figure.ts';
import type { FoldingValues } from './folding-figures.ts';
import { FOLDING_FIGURES } from './folding-figures.ts';
import type { LogEntry, Position } from './position-log.ts';
import { HARD_TOP, positionOf, RAISED, timelineOf } from './position-log.ts';
import type { Run } from './run.ts';
import { runOf } from './run.ts';
import { overFor, stillAt, stillsBy } from './still.ts';

const HOUR = 3_600_000;

export interface ClockInput {
  /** IANA zone of the car. */
  readonly zone: string;
  /** Days that the car's handbook allows. */
  readonly limitDays: number;
  readonly entries: readonly LogEntry[];
  /** Later entries do not count yet. */
  readonly at: Instant;
  /** When its owner got the car; absent where it is as far back as the log goes. */
  readonly ownerSince?: Instant | undefined;
}

export interface Stretch {
  readonly startedAt: Instant;
  /** The limit that `overAt` comes from: a damp fold's own, where that is met first. */
  readonly limitDays: number;
  readonly nearingAt: Instant;
  readonly overAt: Instant;
  readonly state: 'within' | 'nearing' | 'over';
}

export interface FoldedClock {
  readonly position: Position | null;
  /** Since when the position has been held without a break. */
  readonly since: Instant | null;
  readonly stretch: Stretch | null;
  /** Where it was put up damp and is taken as not dry yet: from when on it counts as resting. */
  readonly restsFrom?: Instant;
}

/**
 * How long a top has stood folded, against its limit.
 *
 * A stretch is spells folded that no proper rest separates: 12 h raised without a break end it (shop
 * rule), a shorter rest pauses it. The limit is met at the same wall-clock time that many calendar
 * days after the stretch began, plus the time rested; nearing is the same sum with one day less,
 * and not before the stretch began. While the top is raised for less than 12 h both moments move
 * on with the clock on the wall, so the state stays what it was when the rest began.
 *
 * A top that was put up while still damp rests only once it has had time to dry (12 h, shop rule) or was
 * said to be raised and not damp; the clock stands still meanwhile. Where nothing is said it is taken as dry.
 *
 * The first damp fold of a stretch sets a second limit of one day from that fold; whichever is met
 * first counts. Nearing a limit of one day is at once, since one day before it is when it began.
 *
 * A top that lies folded under the hard top is laid up on purpose: no clock runs there. But it stays
 * folded, and only a raised one relaxes and dries: so that time pauses the stretch and ends none.
 */
export function foldedClock(
  input: ClockInput,
  figures: FoldingValues = valuesOf(FOLDING_FIGURES),
): FoldedClock {
  const at = msOf(input.at);
  const properRest = figures.properRestHours * HOUR;
  const drying = figures.dryingHours * HOUR;
  const run = runOf(timelineOf(input.entries, input.at), { properRest, drying });
  if (run.mark === 0) return { position: null, since: null, stretch: null };
  const position = positionOf(run.mark);
  const since = toInstant(run.since);
  const isUp = run.mark === RAISED;
  const isRested = isUp && at - run.restFrom >= properRest;
  if (run.startedAt === null || isRested || run.mark === HARD_TOP) {
    return { position, since, stretch: null };
  }
  const resting = isUp ? at - run.since : 0;
  const stretch = stretchOf(input, run, run.startedAt, resting, figures);
  const isDamp = isUp && run.restFrom > at;
  return { position, since, stretch, ...(isDamp ? { restsFrom: toInstant(run.restFrom) } : {}) };
}

/**
 * The first instant after `at` at which the clock has news, if nothing else is logged: nearing,
 * over, or one of the weekly instants after it. Null while no clock runs.
 */
export function nextClockMoment(
  input: ClockInput,
  figures: FoldingValues = valuesOf(FOLDING_FIGURES),
): Instant | null {
  const { position, stretch } = foldedClock(input, figures);
  if (position !== 'folded' || !stretch) return null;
  const { nearingAt, overAt } = stretch;
  if (input.at < nearingAt) return nearingAt;
  if (input.at < overAt) return overAt;
  const from = overFor(overAt, input.ownerSince);
  return stillAt(input.zone, from, stillsBy(input.zone, from, input.at, figures) + 1, figures);
}

function stretchOf(
  { zone, limitDays, at }: ClockInput,
  run: Run,
  startedAt: number,
  resting: number,
  figures: FoldingValues,
): Stretch {
  const limitFrom = (from: number, days: number, rested: number) => ({
    limitDays: days,
    nearingAt: later(zone, from, Math.max(0, days - figures.nearingDays), rested),
    overAt: later(zone, from, days, rested),
  });
  const rested = run.rested + resting;
  let limit = limitFrom(startedAt, limitDays, rested);
  if (run.dampAt !== null) {
    const days = Math.min(limitDays, figures.dampLimitDays);
    const damp = limitFrom(run.dampAt, days, rested - run.restedBeforeDamp);
    if (damp.overAt < limit.overAt) limit = damp;
  }
  const nearing = at >= limit.nearingAt ? 'nearing' : 'within';
  return {
    startedAt: toInstant(startedAt),
    ...limit,
    state: at >= limit.overAt ? 'over' : nearing,
  };
}

function later(zone: string, from: number, days: number, rested: number): Instant {
  return toInstant(msOf(plusCalendarDays(zone, toInstant(from), days)) + rested);
}
