import type { Day } from '../../domain/calendar/day.ts';
import { addDays, addMonths, daysBetween } from '../../domain/calendar/day.ts';
import type { Keeping } from '../../domain/lubrication/keeping.ts';
import { lubricationInterval } from '../../domain/lubrication/interval.ts';
import type { Chance } from './scenario-chance.ts';
import { isOpen, openBy, openFrom, pickDay } from './scenario-days.ts';
import type { SeedCar, SeedOrganisation } from './scenario-seeds.ts';
import type { VisitKind } from '../own/visit-records.ts';

/** How near a visit is to today: what is wrong with a car shows on the last and began before it. */
export type Stage = 'early' | 'before-last' | 'mending' | 'last';

export interface PastVisit {
  readonly kind: VisitKind;
  readonly on: Day;
  readonly stage: Stage;
}

/** The days of a car's life up to today. */
export interface History {
  /** The first top on record. */
  readonly fittedOn: Day;
  readonly recoveredOn: Day | null;
  /** Oldest first. */
  readonly visits: readonly PastVisit[];
}

interface Setting {
  readonly kind: SeedOrganisation['organisation']['kind'];
  readonly today: Day;
  readonly chance: Chance;
  /** The care day on which it was oiled last; null where that follows from the day it is due. */
  readonly careDay: Day | null;
}

const DAYS_A_MONTH = 30;
const SETTLING_DAYS = [14, 30] as const;
const LATE_DAYS = [0, 45] as const;
const MENDING_DAYS = [6, 20] as const;
/** Nothing is due sooner than this unless the seed says so: no letter is owed by accident. */
const QUIET_DAYS = 38;

/** Works backwards from the day that the lubrication is due, so that it is due when the seed says. */
export function historyOf(car: SeedCar, setting: Setting): History {
  const fittedOn = fittedDay(car, setting);
  const recoveredOn =
    car.recovered === undefined ? null : fittedMonthsAgo(car.recovered, setting, 'shop');
  const before = recoveredOn === null ? [] : onOldTop(car, fittedOn, recoveredOn, setting);
  const present = lubricationsOf(car, recoveredOn ?? fittedOn, setting);
  const visits = [
    ...settlingOf(fittedOn, setting),
    ...before,
    ...(recoveredOn === null ? [] : settlingOf(recoveredOn, setting)),
    ...present,
    ...mendingOf(car, present, setting),
  ];
  return { fittedOn, recoveredOn, visits: visits.sort((a, b) => (a.on < b.on ? -1 : 1)) };
}

function fittedDay(car: SeedCar, setting: Setting): Day {
  const { today, chance } = setting;
  const { warrantyEnds, fittedDaysAgo: days, warranties = [] } = car;
  if (warrantyEnds !== undefined) {
    const months = warranties.find(({ part }) => part === warrantyEnds.part)?.months ?? 0;
    const endsOn = pickDay(today, warrantyEnds.in, chance, (day) =>
      isOpen('shop', addMonths(day, -months)),
    );
    return addMonths(endsOn, -months);
  }
  if (days === undefined) return fittedMonthsAgo(car.fitted ?? [24, 36], setting, 'shop');
  return openBy('shop', addDays(today, -chance.whole(...days)));
}

function fittedMonthsAgo(
  [least, most]: readonly [number, number],
  { today, chance }: Setting,
  kind: Setting['kind'],
): Day {
  return openBy(kind, addDays(today, -chance.whole(least * DAYS_A_MONTH, most * DAYS_A_MONTH)));
}

/** How the records will have the car kept. */
export function keepingOf(car: SeedCar): Keeping & { unmovedDays?: number } {
  return {
    place: car.place,
    salt: car.salt,
    use: car.use,
    foldsPerYear: car.folds,
    ...(car.unmoved === undefined ? {} : { unmovedDays: car.unmoved }),
  };
}

function monthsOf(car: SeedCar, stiffOrMissing: boolean): number {
  const { unmovedDays, ...keeping } = keepingOf(car);
  return lubricationInterval({
    keeping,
    stiffOrMissing,
    ...(unmovedDays === undefined ? {} : { unmovedDays }),
  }).months;
}

function lubricationsOf(car: SeedCar, fittedOn: Day, setting: Setting): PastVisit[] {
  const { today, chance, kind, careDay } = setting;
  const usual = monthsOf(car, false);
  const faulty = (car.joints ?? []).some(
    (joint) => joint.state === 'stiff' || (joint.missing ?? 0) > 0,
  );
  const months = monthsOf(car, faulty);
  const earliest = addDays(fittedOn, Math.round(usual * DAYS_A_MONTH * 0.75));
  const quietFrom = Math.max(QUIET_DAYS, daysBetween(today, addMonths(earliest, months)) + 1);
  const quietTo = usual * DAYS_A_MONTH - 12;
  if (careDay !== null && addMonths(careDay, months) < addDays(today, QUIET_DAYS)) {
    throw new Error(`${car.registration} would be due again soon after its care day`);
  }
  if (careDay === null && car.due === undefined && quietFrom > quietTo) return [];
  const lastOn = () => {
    const dueOn = pickDay(today, car.due ?? [quietFrom, quietTo], chance, (day) => {
      const anchor = addMonths(day, -months);
      return isOpen(kind, anchor) && anchor < today && addMonths(anchor, months) === day;
    });
    return addMonths(dueOn, -months);
  };
  const days: Day[] = [];
  for (let day = careDay ?? lastOn(); day > earliest;) {
    days.unshift(day);
    day = openBy(kind, addDays(addMonths(day, -usual), -chance.whole(...LATE_DAYS)));
  }
  if (car.due !== undefined && days.length === 0) {
    throw new Error(`${car.registration} is too new to be due when its seed says`);
  }
  return days.map((on, i) => ({
    kind: 'lubrication',
    on,
    stage: (['last', 'before-last'] as const)[days.length - 1 - i] ?? 'early',
  }));
}

function onOldTop(car: SeedCar, fittedOn: Day, until: Day, setting: Setting): PastVisit[] {
  const months = monthsOf(car, false);
  const visits: PastVisit[] = [];
  const next = (day: Day) =>
    openFrom(setting.kind, addDays(addMonths(day, months), setting.chance.whole(...LATE_DAYS)));
  for (let on = next(fittedOn); on < addDays(until, -40); on = next(on)) {
    visits.push({ kind: 'lubrication', on, stage: 'early' });
  }
  return visits;
}

function settlingOf(fittedOn: Day, { kind, today, chance }: Setting): PastVisit[] {
  const on = openFrom(kind, addDays(fittedOn, chance.whole(...SETTLING_DAYS)));
  return kind === 'shop' && on < today ? [{ kind: 'settling', on, stage: 'early' }] : [];
}

function mendingOf(
  { mended, registration }: SeedCar,
  lubrications: readonly PastVisit[],
  { kind, chance }: Setting,
): PastVisit[] {
  if (mended === undefined) return [];
  const found = lubrications.at(-2);
  if (found === undefined) throw new Error(`${registration} is too new to have been mended`);
  const on = openFrom(kind, addDays(found.on, chance.whole(...MENDING_DAYS)));
  return [{ kind: 'repair', on, stage: 'mending' }];
}
