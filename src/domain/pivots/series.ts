import { daysBetween, isDay } from '../calendar/day.ts';
import type { Day } from '../calendar/day.ts';
import type { PivotKind } from './frame-patterns.ts';
import type { PivotState } from './state.ts';

/**
 * How play is measured: `axial` by feeler blade between the leaves, where the washer belongs;
 * `radial` by dial gauge across the pin. The two are never mixed in one series.
 */
export const METHODS = ['axial', 'radial'] as const;
export type Method = (typeof METHODS)[number];

/** Something found at a pivot on a day. */
interface Found {
  readonly doneOn: Day;
  /**
   * True where it was found after that day's repair. Otherwise what is found on the day of a
   * repair is what was repaired, and belongs to the time before it.
   */
  readonly afterRepair?: boolean | undefined;
}

export interface PlayReading extends Found {
  readonly method: Method;
  readonly mm: number;
}

export interface StateFound extends Found {
  readonly state: PivotState;
  /** True where the joint was oiled on the visit that found it so. */
  readonly oiled?: boolean | undefined;
}

export interface WashersFound extends Found {
  readonly present: number;
}

/** All that is known of one pivot. */
export interface PivotRecord {
  readonly code: string;
  readonly kind: PivotKind;
  readonly washersExpected: number;
  readonly readings: readonly PlayReading[];
  readonly states: readonly StateFound[];
  readonly washers: readonly WashersFound[];
  /** Days on which this pivot was repaired: washers or pin renewed, hole bushed. */
  readonly repairs: readonly Day[];
}

/** What still holds today: after the last repair and not after `today`, oldest first. */
export interface Standing {
  readonly repairedOn: Day | null;
  readonly readings: readonly PlayReading[];
  readonly states: readonly StateFound[];
  readonly washers: readonly WashersFound[];
}

const DAYS_A_YEAR = 365.2425;

/** Years from one day to another, by the mean year of the calendar. */
export function yearsBetween(from: Day, to: Day): number {
  return daysBetween(from, to) / DAYS_A_YEAR;
}

/** Days in that many years, to the nearest whole day. */
export function daysIn(years: number): number {
  return Math.round(years * DAYS_A_YEAR);
}

/**
 * Drops what a repair has made good and what lies after `today`, and sorts the rest by day, the
 * worst of one day last. Throws RangeError on a day that does not exist, play that is no number of
 * millimetres from 0 up, or washers that are no whole number from 0 up.
 */
export function standing(record: PivotRecord, today: Day): Standing {
  check(record, today);
  const repairedOn = record.repairs.filter((day) => day <= today).reduce(later, '') || null;
  const holds = ({ doneOn, afterRepair }: Found) =>
    doneOn <= today &&
    (repairedOn === null || doneOn > repairedOn || (doneOn === repairedOn && afterRepair === true));
  return {
    repairedOn,
    readings: record.readings.filter(holds).sort((a, b) => byDay(a, b) || a.mm - b.mm),
    states: record.states.filter(holds).sort(byDay),
    washers: record.washers.filter(holds).sort((a, b) => byDay(a, b) || b.present - a.present),
  };
}

function later(a: Day, b: Day): Day {
  return a > b ? a : b;
}

function byDay(a: Found, b: Found): number {
  return daysBetween(b.doneOn, a.doneOn);
}

function check(record: PivotRecord, today: Day): void {
  const { code, readings, states, washers, repairs } = record;
  const days = [...readings, ...states, ...washers].map(({ doneOn }) => doneOn);
  for (const day of [...days, ...repairs, today]) {
    if (!isDay(day)) throw new RangeError(`${code}: ${day} is no day of the calendar`);
  }
  for (const { mm } of readings) {
    if (!(mm >= 0 && Number.isFinite(mm))) {
      throw new RangeError(`${code}: play must be a number of millimetres from 0 up`);
    }
  }
  for (const { present } of washers) {
    if (!(Number.isInteger(present) && present >= 0)) {
      throw new RangeError(`${code}: washers present must be a whole number from 0 up`);
    }
  }
}
