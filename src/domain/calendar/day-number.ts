/**
 * A day of the Gregorian calendar, 'YYYY-MM-DD'; days sort as text. Functions take days that
 * `isDay` has accepted, and throw a RangeError where a result leaves the years 1 to 9999.
 *
 * Here days become a count from 1970-01-01 and back, with whole numbers alone, because a round
 * handles a million of them. Only the first ten characters of a text are read.
 */
export type Day = string;

const DAYS_IN_ERA = 146_097;
/** Days from 1 March of year 0, where the reckoning below begins, to 1970-01-01. */
const EPOCH = 719_468;
const TWO_DIGITS = Array.from({ length: 100 }, (_, n) => String(n).padStart(2, '0'));

export function yearOf(day: Day): number {
  return twoDigitsAt(day, 0) * 100 + twoDigitsAt(day, 2);
}

/** 1 for January to 12 for December. */
export function monthOf(day: Day): number {
  return twoDigitsAt(day, 5);
}

/** 1 to 31. */
export function dateOf(day: Day): number {
  return twoDigitsAt(day, 8);
}

export function daysInMonth(year: number, month: number): number {
  if (month !== 2) return month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31;
  return year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0) ? 29 : 28;
}

/** Days since 1970-01-01. */
export function numberOfDay(day: Day): number {
  const month = monthOf(day);
  // Years are counted from March, so that the leap day is the last day of its year.
  const year = month > 2 ? yearOf(day) : yearOf(day) - 1;
  const century = Math.floor(year / 100);
  const leapDays = (year >> 2) - century + (century >> 2);
  return year * 365 + leapDays + BEFORE_MONTH[month]! + dateOf(day) - EPOCH - 1;
}

/** Days of the months from March up to each month by its number; the year of February began with March. */
const BEFORE_MONTH = Array.from({ length: 13 }, (_, month) =>
  Math.floor((153 * ((month + 9) % 12) + 2) / 5),
);

/** The day that many days after 1970-01-01. */
export function dayOfNumber(n: number): Day {
  const era = Math.floor((n + EPOCH) / DAYS_IN_ERA);
  const dayOfEra = n + EPOCH - era * DAYS_IN_ERA;
  const leapDays =
    Math.floor(dayOfEra / 1460) - Math.floor(dayOfEra / 36_524) + Math.floor(dayOfEra / 146_096);
  const yearOfEra = Math.floor((dayOfEra - leapDays) / 365);
  const daysBefore = 365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100);
  const dayOfYear = dayOfEra - daysBefore;
  const monthFromMarch = Math.floor((5 * dayOfYear + 2) / 153);
  const month = monthFromMarch < 10 ? monthFromMarch + 3 : monthFromMarch - 9;
  const date = dayOfYear - Math.floor((153 * monthFromMarch + 2) / 5) + 1;
  return dayFrom(era * 400 + yearOfEra + (month <= 2 ? 1 : 0), month, date);
}

/** 1 for Monday to 7 for Sunday, of a day counted from 1970-01-01, which was a Thursday. */
export function weekdayOfNumber(n: number): number {
  return ((((n + 3) % 7) + 7) % 7) + 1;
}

/** Writes a day. Throws a RangeError outside the years 1 to 9999, and where the year is no number. */
export function dayFrom(year: number, month: number, date: number): Day {
  if (!(year >= 1 && year <= 9999)) throw new RangeError('A day outside the years 1 to 9999');
  const century = Math.floor(year / 100);
  const inCentury = TWO_DIGITS[year - century * 100];
  return `${TWO_DIGITS[century]}${inCentury}-${TWO_DIGITS[month]}-${TWO_DIGITS[date]}`;
}

/** The number that two digits of a text write. */
export function twoDigitsAt(text: string, from: number): number {
  return text.charCodeAt(from) * 10 + text.charCodeAt(from + 1) - 528;
}
