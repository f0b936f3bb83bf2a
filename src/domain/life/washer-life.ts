import { daysBetween, isDay } from '../calendar/day.ts';
import { valuesOf } from '../figures/figure.ts';
import type { IntervalLife } from '../statistics/interval.ts';
import { turnbull } from '../statistics/turnbull.ts';
import type { TurnbullStep } from '../statistics/turnbull.ts';
import { compareLives } from './compare-lives.ts';
import type { LifeComparison } from './compare-lives.ts';
import { intervalFit } from './interval-life.ts';
import type { IntervalFit } from './interval-life.ts';
import { LIFE_FIGURES } from './life-figures.ts';
import type { LifeValues } from './life-figures.ts';
import type { LogRankRefusal } from './log-rank.ts';
import type { WasherRecord } from './washer-records.ts';
import type { WeibullRefusal } from './weibull.ts';

/** Said wherever these lives are shown: what the records cannot know. */
export const FOUND_AT_VISIT =
  'A lost washer is only found at a visit: it was lost at some time between that visit and the one ' +
  'before, and everything here is reckoned for that. Washers of one car share its keeping, so ranges ' +
  'and comparisons count cars, not washers.';

export interface WasherLifeGroup {
  readonly group: string;
  readonly washers: number;
  readonly failures: number;
  /** Washers not used: never looked at since they were fitted, or gone on the day itself. */
  readonly setAside: { readonly neverSeen: number; readonly goneAtOnce: number };
  /** Turnbull's curve, in days since fitting. */
  readonly steps: readonly TurnbullStep[];
  /** Days since fitting between which half are gone; null if more than half outlived every visit. */
  readonly medianBetween: { readonly after: number; readonly by: number } | null;
  readonly weibull: IntervalFit | WeibullRefusal;
  /** Middle of the gaps, in days, inside which each loss must have happened; null if no loss. */
  readonly gapDays: number | null;
}

export interface WasherLife {
  readonly groups: readonly WasherLifeGroup[];
  /** Set where there are exactly two groups: whether their washers last alike. */
  readonly comparison: LifeComparison | LogRankRefusal | null;
  readonly note: string;
}

/**
 * Washer life in days by frame pattern or by exposure class, groups in order of their names. A loss
 * lies between the visit that found it and the look before. Washers never looked at since fitting say
 * nothing and are set aside; those gone on the fitting day are a fitting fault and no wear. The
 * Weibull fit of a group is refused, with the count, under `minFailures` failures (shop rule).
 * Throws RangeError for a day that does not exist, and for a washer that was seen or missed before it
 * was fitted, or not found missing after it was last seen.
 */
export function washerLife(
  observed: ObservedLives,
  values: LifeValues = valuesOf(LIFE_FIGURES),
): WasherLife {
  const lives = observed.groups();
  const [first, second, third] = lives;
  return {
    groups: lives.map((life) => summary(life, values)),
    comparison:
      first !== undefined && second !== undefined && third === undefined
        ? compareLives(first.intervals, second.intervals)
        : null,
    note: FOUND_AT_VISIT,
  };
}

/**
 * The Weibull fit alone of each group that has enough losses, by group: what the chance of a loss to come is
 * reckoned from.
 */
export function fitsOf(
  lives: ObservedLives,
  values: LifeValues = valuesOf(LIFE_FIGURES),
): ReadonlyMap<string, IntervalFit> {
  return new Map(
    lives.groups().flatMap(({ group, intervals }) => {
      const fit = intervalFit(intervals, values);
      return 'refused' in fit ? [] : [[group, fit] as const];
    }),
  );
}

interface Lives {
  readonly group: string;
  readonly intervals: IntervalLife[];
  readonly setAside: { neverSeen: number; goneAtOnce: number };
}

/** Washer lives as the looks at them tell, by group; they may be added portion by portion. */
export class ObservedLives {
  readonly #by: 'pattern' | 'exposure';
  readonly #named = new Map<string, Lives>();

  constructor(by: 'pattern' | 'exposure', records: readonly WasherRecord[] = []) {
    this.#by = by;
    this.add(records);
  }

  /** Throws RangeError as `washerLife` does. */
  add(records: readonly WasherRecord[]): void {
    for (const record of records) {
      const group = this.#by === 'pattern' ? record.framePattern : record.exposureClass;
      // Lives of unknown exposure would blur every class that they were counted to.
      if (group === null) continue;
      let lives = this.#named.get(group);
      if (lives === undefined) {
        lives = { group, intervals: [], setAside: { neverSeen: 0, goneAtOnce: 0 } };
        this.#named.set(group, lives);
      }
      observe(record, lives);
    }
  }

  /** In order of their names. */
  groups(): readonly Lives[] {
    return [...this.#named.values()].toSorted((a, b) => (a.group < b.group ? -1 : 1));
  }
}

function observe({ carId, fittedOn, missingOn, lastSeenOn }: WasherRecord, lives: Lives): void {
  const after = lastSeenOn === undefined ? 0 : daysFrom(fittedOn, lastSeenOn);
  if (missingOn === undefined) {
    if (after === 0) lives.setAside.neverSeen += 1;
    else lives.intervals.push({ after, by: null, cluster: carId });
    return;
  }
  const by = daysFrom(fittedOn, missingOn);
  if (by === 0) lives.setAside.goneAtOnce += 1;
  else if (after < by) lives.intervals.push({ after, by, cluster: carId });
  else throw new RangeError(`washer seen on ${lastSeenOn}, not before ${missingOn}`);
}

/** A share such as 1 - 3/4 x 2/3 is a half, though its last digits may say otherwise. */
const HALF = 0.5 + 1e-6;

function summary({ group, intervals, setAside }: Lives, values: LifeValues): WasherLifeGroup {
  const { steps } = turnbull(intervals);
  const half = steps.find(({ survival }) => survival <= HALF);
  const gaps = intervals.flatMap(({ after, by }) => (by === null ? [] : [by - after]));
  return {
    group,
    washers: intervals.length,
    failures: gaps.length,
    setAside,
    steps,
    medianBetween:
      half === undefined || half.by === null ? null : { after: half.after, by: half.by },
    weibull: intervalFit(intervals, values),
    gapDays: gaps.length === 0 ? null : middle(gaps),
  };
}

function daysFrom(from: string, to: string): number {
  for (const day of [from, to]) {
    if (!isDay(day)) throw new RangeError(`${day} is no day of the calendar`);
  }
  const days = daysBetween(from, to);
  if (days < 0) throw new RangeError(`${to} is before the washer was fitted (${from})`);
  return days;
}

function middle(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const upper = sorted[Math.floor(sorted.length / 2)]!;
  const lower = sorted[Math.floor((sorted.length - 1) / 2)]!;
  return (lower + upper) / 2;
}
