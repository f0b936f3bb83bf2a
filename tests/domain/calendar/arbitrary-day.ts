import * as fc from 'fast-check';

const FIRST = Date.UTC(1900, 0, 1);
const LAST = Date.UTC(2200, 11, 31);
/** A number with two digits, as days and times write it. */
export const two = (n: number): string => String(n).padStart(2, '0');

const toDay = (ms: number) => new Date(ms).toISOString().slice(0, 10);

/** Days from 1900 to 2200; every other one is the last of its month, where clamping happens. */
export const anyDay: fc.Arbitrary<string> = fc.oneof(
  fc.integer({ min: FIRST, max: LAST }).map(toDay),
  fc
    .tuple(fc.integer({ min: 1900, max: 2200 }), fc.integer({ min: 1, max: 12 }))
    .map(([year, month]) => toDay(Date.UTC(year, month, 0))),
);

/** Whole minutes from 1950 to 2100. */
export const anyInstant: fc.Arbitrary<string> = fc
  .integer({ min: Date.UTC(1950, 0) / 60_000, max: Date.UTC(2100, 0) / 60_000 })
  .map((minute) => new Date(minute * 60_000).toISOString());
