import type { Day } from '../../domain/calendar/day.ts';
import { daysBetween } from '../../domain/calendar/day.ts';
import type { WasherLife } from '../../domain/life/washer-life.ts';
import { washerLife } from '../../domain/life/washer-life.ts';
import type { WasherLook, WasherRecord } from '../../domain/life/washer-records.ts';
import { washerRecords } from '../../domain/life/washer-records.ts';
import type { WeibullFit } from '../../domain/life/weibull.ts';
import { chanceWithin } from '../../domain/life/weibull.ts';
import type { Place, Salt } from '../../domain/lubrication/keeping.ts';
import { classOfKeeping } from '../../domain/lubrication/keeping.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { ReadPivot } from '../../store/visits/reading-rows.ts';

/** How a car is kept and which frame it has: what washer lives are grouped by. */
export interface FrameOfCar {
  readonly framePattern: string;
  readonly place: Place;
  readonly salt: Salt;
}

/** The washers of one pivot: all lives on record, and since when those now in place have been in. */
export interface WashersOfPivot {
  readonly records: WasherRecord[];
  readonly inPlaceSince: Day[];
}

/**
 * The washer lives of one pivot. A repair renews the set; where nobody counted before it, the old
 * washers were last known at the look before, and nothing is said of their end.
 */
export function washersOfPivot(pivot: ReadPivot, frame: FrameOfCar): WashersOfPivot {
  const { since, record } = pivot;
  const about = {
    framePattern: frame.framePattern,
    exposureClass: classOfKeeping(frame),
    washersExpected: record.washersExpected,
  };
  const repairs = new Set(record.repairs);
  const counted = new Map(record.washers.map(({ doneOn, present }) => [doneOn, present]));
  const days = [...new Set([...counted.keys(), ...repairs])].filter((day) => day >= since).sort();
  const records: WasherRecord[] = [];
  let fittedOn = since;
  let looks: WasherLook[] = [];
  for (const on of days) {
    const present = counted.get(on);
    if (present !== undefined) looks.push({ on, washersPresent: present });
    if (!repairs.has(on)) continue;
    records.push(...washerRecords({ ...about, fittedOn, looks }));
    fittedOn = on;
    looks = [];
  }
  const last = washerRecords({ ...about, fittedOn, looks });
  const inPlace = looks.at(-1)?.washersPresent ?? record.washersExpected;
  return {
    records: [...records, ...last],
    inPlaceSince: last.slice(last.length - inPlace).map((washer) => washer.fittedOn),
  };
}

/** The organisation's own washer lives by exposure class, where enough have failed to fit one. */
export type OwnLives = ReadonlyMap<string, WeibullFit>;

export function ownLives(
  records: readonly WasherRecord[],
  values: ReturnType<typeof figuresFor<'life'>>,
): OwnLives {
  const life: WasherLife = washerLife(records, 'exposure', values);
  return new Map(
    life.groups.flatMap(({ group, weibull }) =>
      'refused' in weibull ? [] : [[group, weibull] as const],
    ),
  );
}

/**
 * Chance that at least one washer that is in place on a day is lost by another, from the
 * organisation's own lives of that exposure class; null where they are too few to say.
 */
export function chanceOfLoss(
  inPlaceSince: readonly Day[],
  frame: FrameOfCar,
  lives: OwnLives,
  from: Day,
  to: Day,
): number | null {
  const life = lives.get(classOfKeeping(frame));
  if (life === undefined) return null;
  const kept = inPlaceSince.reduce((none, since) => {
    const age = Math.max(0, daysBetween(since, from));
    return none * (1 - chanceWithin(life, age, Math.max(0, daysBetween(from, to))));
  }, 1);
  return 1 - kept;
}
