import type { Day } from '../../domain/calendar/day.ts';
import { daysBetween } from '../../domain/calendar/day.ts';
import type { IntervalFit } from '../../domain/life/interval-life.ts';
import type { ObservedLives } from '../../domain/life/washer-life.ts';
import { fitsOf } from '../../domain/life/washer-life.ts';
import type { WasherLook, WasherRecord } from '../../domain/life/washer-records.ts';
import { washerRecords } from '../../domain/life/washer-records.ts';
import { chanceWithin } from '../../domain/life/weibull.ts';
import type { Place, Salt, Use } from '../../domain/lubrication/keeping.ts';
import { classOfKeeping, tellsWhere } from '../../domain/lubrication/keeping.ts';
import type { SteelClass } from '../../domain/lubrication/corrosion.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { ReadPivot } from '../../store/visits/reading-rows.ts';

/** How a car is kept and which frame it has: what washer lives are grouped by. */
export interface FrameOfCar {
  readonly framePattern: string;
  readonly place: Place | null;
  readonly salt: Salt | null;
  readonly use: Use | null;
}

/** A washer that was in place when last looked at; one never looked at was seen when fitted. */
export interface WasherInPlace {
  readonly since: Day;
  readonly seenOn: Day;
}

/** The washers of one pivot: all lives on record, and those now in place. */
export interface WashersOfPivot {
  readonly records: WasherRecord[];
  readonly inPlace: readonly WasherInPlace[];
}

/**
 * The washer lives of one pivot. A repair renews the set; where nobody counted before it, the old
 * washers were last known at the look before, and nothing is said of their end.
 */
export function washersOfPivot(pivot: ReadPivot, frame: FrameOfCar): WashersOfPivot {
  const { since, record } = pivot;
  const about = {
    carId: pivot.carId,
    framePattern: frame.framePattern,
    exposureClass: exposureOf(frame),
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
    inPlace: last.slice(last.length - inPlace).map((washer) => ({
      since: washer.fittedOn,
      seenOn: washer.lastSeenOn ?? washer.fittedOn,
    })),
  };
}

/** The exposure class of a car; null where nobody has told how it is kept. */
function exposureOf(frame: FrameOfCar): SteelClass | null {
  return tellsWhere(frame) ? classOfKeeping(frame) : null;
}

/** The organisation's own washer lives by exposure class, where enough have failed to fit one. */
export type OwnLives = ReadonlyMap<string, IntervalFit>;

export function ownLives(
  lives: ObservedLives,
  values: ReturnType<typeof figuresFor<'life'>>,
): OwnLives {
  return fitsOf(lives, values);
}

/**
 * Chance that at least one washer that is in place on a day is lost by another, from the
 * organisation's own lives of that exposure class; null where they are too few to say.
 */
export function chanceOfLoss(
  inPlace: readonly WasherInPlace[],
  frame: FrameOfCar,
  lives: OwnLives,
  from: Day,
  to: Day,
): number | null {
  return chanceOfAny(
    inPlace.map(({ since }) => ({ since, from })),
    frame,
    lives,
    to,
  );
}

/**
 * Chance that a visit on a day finds at least one washer gone that was in place when last looked at:
 * it may have gone at any time since that look. Null where the lives are too few to say.
 */
export function chanceOfFindingLoss(
  inPlace: readonly WasherInPlace[],
  frame: FrameOfCar,
  lives: OwnLives,
  on: Day,
): number | null {
  return chanceOfAny(
    inPlace.map(({ since, seenOn }) => ({ since, from: seenOn })),
    frame,
    lives,
    on,
  );
}

function chanceOfAny(
  washers: readonly { readonly since: Day; readonly from: Day }[],
  frame: FrameOfCar,
  lives: OwnLives,
  to: Day,
): number | null {
  const exposure = exposureOf(frame);
  const life = exposure === null ? undefined : lives.get(exposure);
  if (life === undefined) return null;
  const kept = washers.reduce((none, { since, from }) => {
    const age = Math.max(0, daysBetween(since, from));
    return none * (1 - chanceWithin(life, age, Math.max(0, daysBetween(from, to))));
  }, 1);
  return 1 - kept;
}
