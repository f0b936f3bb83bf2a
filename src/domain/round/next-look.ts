import { adviceFor } from '../advice/advice-rows.ts';
import { nextAdviceDay } from '../advice/choose.ts';
import type { Day } from '../calendar/day.ts';
import { addDays, addMonths, daysBetween } from '../calendar/day.ts';
import type { Instant } from '../calendar/instant.ts';
import { dayIn, instantAt } from '../calendar/zone.ts';
import { nextClockMoment } from '../folding/clock.ts';
import type { CarFacts, TopFacts } from './car-facts.ts';
import { figuresOf } from '../figure-tables/letter-figures.ts';
import type { LookFigures } from '../lubrication/look-again.ts';
import { adviceFactsOf } from './occasions.ts';
import type { RoundFigures } from '../letters/round-figures.ts';

/** Before every instant: a car that bears it is looked at by the next round, whatever its time. */
export const LOOK_NOW: Instant = '0001-01-01T00:00:00.000Z';

/**
 * The next instant after `at` at which a car can owe something new, if nothing is recorded until
 * then; null if never. A round looks at no car before its instant, so its cost follows what is owed.
 */
export function nextLook(
  car: CarFacts,
  at: Instant,
  figures: RoundFigures = figuresOf(car.organisation).round,
): Instant | null {
  const today = dayIn(car.owner.timeZone, at);
  const day = car.top === null ? null : nextDayToLook(car, car.top, today, figures);
  const instants = [
    day === null ? null : instantAt(car.owner.timeZone, day, '00:00'),
    car.entries.length === 0
      ? null
      : nextClockMoment(
          {
            zone: car.timeZone,
            limitDays: car.foldedLimitDays,
            entries: car.entries,
            at,
            ownerSince: car.ownerSince,
          },
          figuresOf(car.organisation).folding,
        ),
  ];
  return earliest(instants.filter((instant) => instant !== null));
}

/** The first day behind today on which a car can owe something new. */
function nextDayToLook(
  car: CarFacts,
  top: TopFacts,
  today: Day,
  figures: RoundFigures,
): Day | null {
  const { lastCareOn, lastAlarmOn } = car.owner;
  const tomorrow = addDays(today, 1);
  const afterPause = lastCareOn === null ? tomorrow : addDays(lastCareOn, figures.carePauseDays);
  const afterAlarm = lastAlarmOn === null ? tomorrow : addDays(lastAlarmOn, 1);
  const from = [tomorrow, afterPause, afterAlarm, top.fittedOn].reduce((a, b) => (a > b ? a : b));
  const day = earliest(daysApartFromCare(car, top, today, figures).filter((one) => one > today));
  // Care is asked last, and only where it can come before all else: it takes the longest to find.
  if (day !== null && day <= from) return day;
  const { kind } = car.organisation;
  const values = figuresOf(car.organisation).advice;
  const care = nextAdviceDay(adviceFactsOf(car, top, from, figures), from, values, adviceFor(kind));
  return care === null || (day !== null && day <= care) ? day : care;
}

function daysApartFromCare(car: CarFacts, top: TopFacts, today: Day, figures: RoundFigures): Day[] {
  const { dueOn, askedSince: askedOn = dueOn } = top;
  const { lastLetterOn } = car.owner;
  return [
    addDays(dueOn, -figures.aheadDays),
    dueOn,
    addDays(askedOn, figures.firstLateDays),
    addDays(askedOn, figures.secondLateDays),
    ...(car.organisation.kind === 'private' ? [nextPrivateLate(askedOn, today, figures)] : []),
    ...lookDays(top, figuresOf(car.organisation).look),
    // What found the day's letter gone waits for the next day.
    ...(lastLetterOn === null ? [] : [addDays(lastLetterOn, 1)]),
    // A repair whose day is past and that nobody recorded is one to ask for again.
    ...(car.mayMove.repairOn === null ? [] : [addDays(car.mayMove.repairOn, 1)]),
    ...top.warranties.map(({ months }) =>
      addDays(addMonths(top.fittedOn, months), -figures.warrantyAheadDays),
    ),
  ];
}

/** The next day on which a private owner hears once more of oil that is long overdue. */
function nextPrivateLate(askedOn: Day, today: Day, figures: RoundFigures): Day {
  const { secondLateDays, privateLateDays } = figures;
  const past = daysBetween(askedOn, today) - secondLateDays;
  const times = Math.max(0, Math.floor(past / privateLateDays) + 1);
  return addDays(askedOn, secondLateDays + times * privateLateDays);
}

function lookDays({ lookAfterOn }: TopFacts, figures: LookFigures): Day[] {
  if (lookAfterOn === null) return [];
  const dueOn = addDays(lookAfterOn, figures.afterDays);
  const windowTo = addDays(dueOn, figures.windowAfterDays);
  return [
    addDays(dueOn, -figures.windowBeforeDays),
    dueOn,
    addDays(windowTo, figures.lateDays),
    addDays(windowTo, figures.lapseDays + 1),
  ];
}

function earliest<T extends string>(moments: readonly T[]): T | null {
  return moments.reduce<T | null>((a, b) => (a === null || b < a ? b : a), null);
}
