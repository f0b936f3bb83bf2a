import { valuesOf } from '../figures/figure.ts';
import { PRACTICE_FIGURES } from './practice-figures.ts';
import type { PracticeValues } from './practice-figures.ts';
import { wilsonInterval } from './wilson.ts';

export interface PracticeInput {
  /** Tops fitted each year from now on; a list is read year by year and its last one goes on. */
  readonly fittedPerYear: number | readonly number[];
  /** Cars already in care; none if left out. */
  readonly inCareNow?: number;
  /** How many owners were due for another year, and how many of them came; absent if unknown. */
  readonly observed?: { readonly due: number; readonly came: number };
  readonly years: number;
  /** Care visits a car has in a year; 1 if left out. */
  readonly visitsPerCar?: number;
}

/** A number with the range that the doubt about the return leaves. */
export interface Spread {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

export interface PracticeYear {
  /** 1 for the first year ahead. */
  readonly year: number;
  readonly cars: Spread;
  readonly visitsPerWeek: Spread;
}

export interface PracticeOutlook {
  readonly yearlyReturn: Spread;
  /** Whether the return was seen in the records, or is the shop rule. */
  readonly basis: 'observed' | 'shop rule';
  readonly usableWeeks: number;
  readonly years: readonly PracticeYear[];
  readonly because: string;
}

/**
 * Cars in care and visits per usable week for each of the coming years. The spread is that of the
 * return alone: the 95 % Wilson interval of the share that came, which is wide while few were due;
 * with nothing observed, the low and high figures of the shop rule.
 * Throws RangeError for a number that is impossible.
 */
export function practiceOutlook(
  input: PracticeInput,
  values: PracticeValues = valuesOf(PRACTICE_FIGURES),
): PracticeOutlook {
  requireYears(input.years);
  requireCount(input.inCareNow ?? 0, 'inCareNow');
  requireCount(input.visitsPerCar ?? 1, 'visitsPerCar');
  const { observed } = input;
  const seen = observed !== undefined && (observed.due !== 0 || observed.came !== 0);
  const yearlyReturn = seen ? returnSeen(observed) : returnByRule(values);

  const worst = carsByYear(input, yearlyReturn.low);
  const best = carsByYear(input, yearlyReturn.high);
  const visits = (cars: number): number => (cars * (input.visitsPerCar ?? 1)) / values.usableWeeks;
  const years = carsByYear(input, yearlyReturn.value).map((value, index): PracticeYear => {
    const low = worst[index]!;
    const high = best[index]!;
    return {
      year: index + 1,
      cars: { value, low, high },
      visitsPerWeek: { value: visits(value), low: visits(low), high: visits(high) },
    };
  });
  return {
    yearlyReturn,
    basis: seen ? 'observed' : 'shop rule',
    usableWeeks: values.usableWeeks,
    years,
    because: seen
      ? `${observed.came} of ${observed.due} owners due came again: ${inPercent(yearlyReturn)}`
      : `no return on record yet; shop rule ${inPercent(yearlyReturn)}`,
  };
}

function carsByYear(input: PracticeInput, yearlyReturn: number): number[] {
  const { fittedPerYear } = input;
  const plan = typeof fittedPerYear === 'number' ? [fittedPerYear] : fittedPerYear;
  plan.forEach((fitted, index) => requireCount(fitted, `fittedPerYear[${index}]`));
  if (plan.length === 0) throw new RangeError('fittedPerYear must name at least one year');
  let cars = input.inCareNow ?? 0;
  return Array.from({ length: input.years }, (_, year) => {
    cars = cars * yearlyReturn + (plan[year] ?? plan.at(-1)!);
    return cars;
  });
}

function returnSeen({ due, came }: { due: number; came: number }): Spread {
  const { share, low, high } = wilsonInterval(came, due);
  return { value: share, low, high };
}

function returnByRule(values: PracticeValues): Spread {
  const { yearlyReturn, yearlyReturnLow, yearlyReturnHigh } = values;
  requireShare(yearlyReturn, 'yearlyReturn');
  return {
    value: yearlyReturn,
    low: Math.min(yearlyReturn, yearlyReturnLow),
    high: Math.max(yearlyReturn, yearlyReturnHigh),
  };
}

function inPercent({ value, low, high }: Spread): string {
  const [middle, from, to] = [value, low, high].map((share) => Math.round(share * 100));
  return `${middle} % a year, between ${from} and ${to} %`;
}

function requireCount(value: number, name: string): void {
  if (!Number.isFinite(value) || value < 0) {
    throw new RangeError(`${name} must be a finite number of zero or more`);
  }
}

function requireShare(value: number, name: string): void {
  if (!(value >= 0 && value <= 1)) throw new RangeError(`${name} must lie between 0 and 1`);
}

function requireYears(years: number): void {
  if (!Number.isInteger(years) || years < 0 || years > 100) {
    throw new RangeError('years must be a whole number from 0 to 100');
  }
}
