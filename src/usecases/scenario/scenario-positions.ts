import type { Day } from '../../domain/calendar/day.ts';
import { addDays, daysBetween, monthOf } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { addHours, addMinutes } from '../../domain/calendar/instant.ts';
import { dayIn, instantAt } from '../../domain/calendar/zone.ts';
import type { NewEntry } from '../cars/log-position.ts';
import type { Chance } from './scenario-chance.ts';
import type { SeedCar } from './scenario-seeds.ts';

/** An entry of the position log, when it was written down, and whether it was a slip. */
export interface PastEntry {
  readonly entry: NewEntry;
  readonly recordedAt: Instant;
  readonly withdrawn: boolean;
}

interface LogSetting {
  readonly zone: string;
  readonly now: Instant;
  readonly from: Day;
  readonly chance: Chance;
}

/** How long a car has stood as it stands now: at a time of day, that many days before its last one. */
const STANDS: Readonly<
  Record<
    NonNullable<SeedCar['position']>,
    { readonly time: string; readonly days: number } & Omit<NewEntry, 'at'>
  >
> = {
  'folded-last-week': { time: '17:20', days: 7, position: 'folded', coverOn: false },
  'folded-damp': { time: '18:30', days: 0, position: 'folded', damp: true, coverOn: true },
  'folded-nearing': { time: '10:10', days: 2, position: 'folded', coverOn: true },
  'folded-for-weeks': { time: '16:00', days: 23, position: 'folded', coverOn: true },
  'under-hard-top': { time: '12:00', days: 60, position: 'folded-under-hard-top' },
};

/** Outings end this many days before today, so that none runs into how the car stands now. */
const OUTINGS_UNTIL_DAYS = 64;
const OUTINGS_FROM_DAYS = 480;

/** The position log of a car up to now, in the order of its entries. */
export function entriesOf(car: SeedCar, setting: LogSetting): PastEntry[] {
  return [
    ...(car.logs === true ? outingsOf(car, setting) : []),
    ...nearMissOf(car, setting),
    ...standOf(car, setting),
  ];
}

const NEAR_MISS_DAYS_AGO = 75;
const SUMMER = [5, 8] as const;

/** The day on which a top was folded and then forgotten: the last of a summer that is well over. */
export function nearMissDay(today: Day): Day {
  let day = addDays(today, -NEAR_MISS_DAYS_AGO);
  while (monthOf(day) < SUMMER[0] || monthOf(day) > SUMMER[1]) day = addDays(day, -1);
  return day;
}

/** Folded, told of by a slip of the finger, nearly forgotten, and raised after the letter that came in time. */
function nearMissOf({ nearMiss }: SeedCar, { zone, now }: LogSetting): PastEntry[] {
  if (nearMiss === undefined) return [];
  const day = nearMissDay(dayIn(zone, now));
  const { foldedAt, raisedAt, nights } = nearMiss;
  const folded = instantAt(zone, day, foldedAt);
  const raised = instantAt(zone, addDays(day, nights), raisedAt);
  const entry = (said: NewEntry, withdrawn = false) => ({
    entry: said,
    recordedAt: said.at,
    withdrawn,
  });
  return [
    entry({ position: 'raised', at: folded }, true),
    entry({ position: 'folded', at: addMinutes(folded, 1), coverOn: true }),
    entry({ position: 'raised', at: raised }),
  ];
}

// Around it no outing of chance, so that its story is read at a glance.
const NEAR_MISS_ALONE_DAYS = 9;

function standOf({ position }: SeedCar, { zone, now, chance }: LogSetting): PastEntry[] {
  if (position === undefined) return [];
  const { time, days, ...entry } = STANDS[position];
  const today = dayIn(zone, now);
  const last = instantAt(zone, today, time) <= now ? today : addDays(today, -1);
  const at = instantAt(zone, addDays(last, -days), time);
  const writtenAt = addMinutes(at, chance.whole(0, 8));
  const recordedAt = writtenAt < now ? writtenAt : now;
  return [{ entry: { ...entry, at }, recordedAt, withdrawn: false }];
}

function outingsOf(car: SeedCar, { zone, now, from, chance }: LogSetting): PastEntry[] {
  const today = dayIn(zone, now);
  const until = addDays(today, -OUTINGS_UNTIL_DAYS);
  const entries: PastEntry[] = [];
  const start = addDays(today, -OUTINGS_FROM_DAYS);
  for (
    let day = start > from ? start : addDays(from, 1);
    day < until;
    day = addDays(day, chance.whole(5, 19))
  ) {
    const { fold, raise } = outingOn(zone, day, chance);
    if (!inSeason(car, day)) continue;
    if (
      car.nearMiss !== undefined &&
      Math.abs(daysBetween(nearMissDay(today), day)) < NEAR_MISS_ALONE_DAYS
    ) {
      continue;
    }
    const cover = { coverOn: chance.next() < 0.7 };
    const slip = chance.next() < 0.04;
    if (slip) {
      const at = addMinutes(fold, -30);
      entries.push({ entry: { position: 'raised', at }, recordedAt: at, withdrawn: true });
    }
    const damp = chance.next() < 0.05 ? { damp: true } : {};
    entries.push({
      entry: { position: 'folded', at: fold, ...cover, ...damp },
      recordedAt: addMinutes(fold, chance.whole(0, 20)),
      withdrawn: false,
    });
    entries.push({
      entry: { position: 'raised', at: raise },
      // Now and then it is remembered a day later.
      recordedAt:
        chance.next() < 0.1 ? addHours(raise, 26) : addMinutes(raise, chance.whole(0, 20)),
      withdrawn: false,
    });
    day = dayIn(zone, raise);
  }
  return entries;
}

/** Mostly an afternoon; sometimes left folded for a night or two, once in a while for five. */
function outingOn(zone: string, day: Day, chance: Chance): { fold: Instant; raise: Instant } {
  const hour = (least: number, most: number) =>
    `${String(chance.whole(least, most)).padStart(2, '0')}:${5 * chance.whole(2, 11)}`;
  const left = chance.next();
  const nights = left < 0.04 ? 5 : left < 0.2 ? chance.whole(1, 2) : 0;
  return {
    fold: instantAt(zone, day, hour(9, 13)),
    raise: instantAt(zone, addDays(day, nights), hour(16, 20)),
  };
}

function inSeason({ use }: SeedCar, day: Day): boolean {
  const month = monthOf(day);
  return use === 'summer' ? month >= 4 && month <= 9 : month >= 3 && month <= 11;
}
