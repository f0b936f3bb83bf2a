import type { Day } from '../../domain/calendar/day.ts';
import { addDays, addMonths } from '../../domain/calendar/day.ts';

/** A top with the days on which its owner came back. */
export interface TopWithReturns {
  readonly fittedOn: Day;
  /** Since when it is off the car, or null. */
  readonly retiredOn: Day | null;
  readonly cameOn: readonly Day[];
  /**
   * The day on which a table brought what is known of the time before: the last coming alone. Absent or null
   * where every coming is on record.
   */
  readonly knownSince?: Day | null;
}

export interface YearlyReturns {
  /** Owners who were due for another year, and how many of them came, over all years. */
  readonly due: number;
  readonly came: number;
  /** Tops on cars whose owner has not stayed away for a year yet. */
  readonly inCare: number;
}

/**
 * How many owners come again each year. A year of a top runs from one anniversary of its fitting to
 * the next, both put off by `graceDays`, since who comes a little late has come. A year counts once
 * it is over. Who stays away for one is not due again until he comes back by himself: that is what
 * the yearly return means in f × (1 − r^L) / (1 − r). Years that began before `knownSince` tell nothing of
 * it: of somebody who came every year a table names one coming, and of one who stays away the same.
 */
export function yearlyReturns(
  tops: readonly TopWithReturns[],
  today: Day,
  graceDays: number,
): YearlyReturns {
  const sum = { due: 0, came: 0, inCare: 0 };
  for (const { fittedOn, retiredOn, cameOn, knownSince = null } of tops) {
    const endOf = (year: number) => addDays(addMonths(fittedOn, 12 * year), graceDays);
    let cared = knownSince === null || staysUntil(knownSince, [fittedOn, ...cameOn], graceDays);
    for (let year = 1; endOf(year) < (retiredOn ?? today); year += 1) {
      const [from, to] = [endOf(year - 1), endOf(year)];
      const back = cameOn.some((day) => day > from && day <= to);
      if (knownSince !== null && from < knownSince) {
        cared ||= cameOn.some((day) => day > knownSince && day <= to);
        continue;
      }
      if (cared) sum.due += 1;
      if (cared && back) sum.came += 1;
      cared = back;
    }
    if (retiredOn === null && cared) sum.inCare += 1;
  }
  return sum;
}

/** Whether whoever came last before a day had not stayed away for a year on that day. */
function staysUntil(day: Day, cameOn: readonly Day[], graceDays: number): boolean {
  return cameOn.some((came) => came <= day && addDays(addMonths(came, 12), graceDays) >= day);
}

export interface FittedYear {
  readonly from: Day;
  readonly to: Day;
  readonly fitted: number;
}

/**
 * Tops fitted in each of the last full years before `today`, the latest first, no more than `most`
 * and none that begins before the first top on record. Empty under a year of records.
 */
export function fittedYears(fittedOn: readonly Day[], today: Day, most: number): FittedYear[] {
  const first = fittedOn.reduce((least, day) => (day < least ? day : least), today);
  const years: FittedYear[] = [];
  for (let n = 1; n <= most; n += 1) {
    const from = addMonths(today, -12 * n);
    const to = addMonths(today, -12 * (n - 1));
    if (from < first) break;
    const fitted = fittedOn.filter((day) => day >= from && day < to).length;
    years.push({ from, to: addDays(to, -1), fitted });
  }
  return years;
}
