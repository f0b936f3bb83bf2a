import type { Day } from '../../domain/calendar/day.ts';
import { daysBetween } from '../../domain/calendar/day.ts';
import type { VisitWork } from '../visits/record-visit.ts';
import type { Chance } from './scenario-chance.ts';
import { chanceOf } from './scenario-chance.ts';
import { SCENARIO } from './scenario-figures.ts';
import type { History, PastVisit } from './scenario-history.ts';
import type { SeedCar } from './scenario-seeds.ts';

/** Sway, diagonals and breakaway force of a whole frame, made up from the seed. */
export function frameOf(
  { car, history }: { readonly car: SeedCar; readonly history: History },
  visit: PastVisit,
  chance: Chance,
): VisitWork {
  const own = chanceOf(`${car.registration} frame`);
  const years = yearsSince(history.fittedOn, visit.on);
  const {
    swayPerYear = SCENARIO.swayPerYear,
    diagonalsPerYear = 0,
    breakawayPerYear = 0,
  } = car.frameWear ?? {};
  const lost =
    visit.stage === 'last'
      ? (car.joints ?? []).reduce((sum, { missing = 0 }) => sum + missing, 0)
      : 0;
  const sway =
    SCENARIO.swayNew * own.between(0.8, 1.2) +
    swayPerYear * years +
    lost * SCENARIO.swayPerLostWasher;
  const size = SCENARIO.diagonal * own.between(0.95, 1.05);
  const apart = own.between(0.5, 2) + diagonalsPerYear * years;
  const force = SCENARIO.breakawayNew * own.between(0.8, 1.2) * (1 + breakawayPerYear * years);
  const tape = () => chance.error(SCENARIO.rulerRepeatability / 2);
  return {
    swayMm: rounded(sway + tape(), 0.5),
    diagonalsMm: {
      left: rounded(size + apart / 2 + tape(), 0.5),
      right: rounded(size - apart / 2 + tape(), 0.5),
    },
    breakawayN: rounded(force * (1 + chance.error(SCENARIO.breakawayRepeatability)), 1),
  };
}

export function yearsSince(day: Day, on: Day): number {
  return daysBetween(day, on) / 365.25;
}

/** To a whole number of steps, and never below nothing. */
export function rounded(value: number, step: number): number {
  return Number((Math.max(0, Math.round(value / step)) * step).toFixed(2));
}
