import { daysBetween, isDay } from '../calendar/day.ts';
import { valuesOf } from '../figures/figure.ts';
import { kaplanMeier } from './kaplan-meier.ts';
import type { SurvivalStep } from './kaplan-meier.ts';
import { LIFE_FIGURES } from './life-figures.ts';
import type { LifeValues } from './life-figures.ts';
import { logRank } from './log-rank.ts';
import type { LogRankRefusal, LogRankResult } from './log-rank.ts';
import type { Observation } from './observation.ts';
import type { WasherRecord } from './washer-records.ts';
import { weibullFit } from './weibull.ts';
import type { WeibullFit, WeibullRefusal } from './weibull.ts';

/** Said wherever these lives are shown: what the records cannot know. */
export const FOUND_AT_VISIT =
  'A lost washer is only found at a visit, so its life is counted up to that visit. The true life ' +
  'is shorter, by up to the time since the visit before. Washers of one car share its keeping, so ' +
  'the errors given are somewhat too small.';

export interface WasherLifeGroup {
  readonly group: string;
  readonly washers: number;
  readonly failures: number;
  /** Washers not used: never looked at since they were fitted, or gone on the day itself. */
  readonly setAside: { readonly neverSeen: number; readonly goneAtOnce: number };
  /** In days since fitting. */
  readonly steps: readonly SurvivalStep[];
  readonly medianDays: number | null;
  readonly weibull: WeibullFit | WeibullRefusal;
  /** Middle of the gaps, in days, inside which each loss must have happened; null if no loss. */
  readonly gapDays: number | null;
}

export interface WasherLife {
  readonly groups: readonly WasherLifeGroup[];
  /** Set where there are exactly two groups: whether their washers last alike. */
  readonly comparison: LogRankResult | LogRankRefusal | null;
  readonly note: string;
}

/**
 * Washer life in days by frame pattern or by exposure class, groups in order of their names.
 * Losses are dated to the visit that found them. Washers never looked at since fitting say
 * nothing and are set aside; those gone on the fitting day are a fitting fault and no wear. The
 * Weibull fit of a group is refused, with the count, under `minFailures` failures (shop rule).
 * Throws RangeError for a day that does not exist, and for a washer that was seen or missed before it was fitted, or seen after it
 * was found missing.
 */
export function washerLife(
  records: readonly WasherRecord[],
  by: 'pattern' | 'exposure',
  values: LifeValues = valuesOf(LIFE_FIGURES),
): WasherLife {
  const named = new Map<string, WasherRecord[]>();
  for (const record of records) {
    const group = by === 'pattern' ? record.framePattern : record.exposureClass;
    const members = named.get(group);
    if (members === undefined) named.set(group, [record]);
    else members.push(record);
  }
  const lives = [...named]
    .toSorted(([a], [b]) => (a < b ? -1 : 1))
    .map(([group, members]) => ({ group, ...observe(members) }));
  const [first, second, third] = lives;
  return {
    groups: lives.map((life) => summary(life, values)),
    comparison:
      first !== undefined && second !== undefined && third === undefined
        ? logRank(first.observations, second.observations)
        : null,
    note: FOUND_AT_VISIT,
  };
}

interface Lives {
  readonly observations: Observation[];
  /** Days between the last visit that saw each lost washer and the one that missed it. */
  readonly gaps: number[];
  readonly setAside: { neverSeen: number; goneAtOnce: number };
}

function observe(records: readonly WasherRecord[]): Lives {
  const lives: Lives = { observations: [], gaps: [], setAside: { neverSeen: 0, goneAtOnce: 0 } };
  for (const { fittedOn, missingOn, lastSeenOn } of records) {
    const seen = lastSeenOn === undefined ? 0 : daysFrom(fittedOn, lastSeenOn);
    if (missingOn === undefined) {
      if (seen === 0) lives.setAside.neverSeen += 1;
      else lives.observations.push({ time: seen, event: false });
      continue;
    }
    const life = daysFrom(fittedOn, missingOn);
    if (seen > life) throw new RangeError(`washer seen on ${lastSeenOn} after ${missingOn}`);
    if (life === 0) {
      lives.setAside.goneAtOnce += 1;
      continue;
    }
    lives.observations.push({ time: life, event: true });
    lives.gaps.push(life - seen);
  }
  return lives;
}

function summary(life: Lives & { readonly group: string }, values: LifeValues): WasherLifeGroup {
  const curve = kaplanMeier(life.observations);
  return {
    group: life.group,
    washers: life.observations.length,
    failures: life.gaps.length,
    setAside: life.setAside,
    steps: curve.steps,
    medianDays: curve.median,
    weibull: weibullFit(life.observations, values),
    gapDays: life.gaps.length === 0 ? null : middle(life.gaps),
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
