import { isDay } from '../calendar/day.ts';

/** One spacer washer as the records know it; days are `YYYY-MM-DD`. */
export interface WasherRecord {
  /** Washers of one car share its keeping and are not taken as independent. */
  readonly carId: string;
  readonly framePattern: string;
  /** ISO 9223 class that the car is kept in; null where nobody has told how it is kept. */
  readonly exposureClass: string | null;
  readonly fittedOn: string;
  /** Day of the visit at which it was found missing, if it was. */
  readonly missingOn?: string;
  /** Day of the last visit at which it was seen in place, if any. */
  readonly lastSeenOn?: string;
}

/** What one visit found at one pivot. */
export interface WasherLook {
  readonly on: string;
  /** Washers in place as found, before any work. */
  readonly washersPresent: number;
  /** True if the pivot was given a full new set on this visit. */
  readonly renewed?: boolean;
}

/** One pivot with all the looks at it. */
export interface PivotWashers {
  readonly carId: string;
  readonly framePattern: string;
  readonly exposureClass: string | null;
  readonly fittedOn: string;
  readonly washersExpected: number;
  readonly looks: readonly WasherLook[];
}

/**
 * The lives of all the washers a pivot has had. The washers of one joint cannot be told apart, so
 * a count that has fallen by two is two washers found missing on that visit, the oldest first. A
 * renewal ends the lives of those still in place (sound when taken out) and starts a full new set;
 * a count that has risen with no renewal on record starts new washers on that day.
 * Throws RangeError for a day that does not exist, for a count that is not a whole number from 0 to `washersExpected`, and for a
 * look before the washers were fitted.
 */
export function washerRecords(pivot: PivotWashers): WasherRecord[] {
  const { carId, framePattern, exposureClass, washersExpected } = pivot;
  const about = { carId, framePattern, exposureClass };
  const fresh = (count: number, fittedOn: string): WasherRecord[] =>
    Array.from({ length: count }, () => ({ ...about, fittedOn }));

  const ended: WasherRecord[] = [];
  let inPlace = fresh(washersExpected, pivot.fittedOn);
  for (const look of pivot.looks.toSorted((a, b) => (a.on < b.on ? -1 : Number(a.on > b.on)))) {
    requireLook(look, pivot);
    const lost = Math.max(0, inPlace.length - look.washersPresent);
    for (const washer of inPlace.slice(0, lost)) ended.push({ ...washer, missingOn: look.on });
    inPlace = inPlace.slice(lost).map((washer) => ({ ...washer, lastSeenOn: look.on }));
    inPlace.push(...fresh(look.washersPresent - inPlace.length, look.on));
    if (look.renewed === true) {
      ended.push(...inPlace);
      inPlace = fresh(washersExpected, look.on);
    }
  }
  return [...ended, ...inPlace];
}

function requireLook(look: WasherLook, pivot: PivotWashers): void {
  for (const day of [look.on, pivot.fittedOn]) {
    if (!isDay(day)) throw new RangeError(`${day} is no day of the calendar`);
  }
  const { washersPresent } = look;
  const most = pivot.washersExpected;
  if (!Number.isInteger(washersPresent) || washersPresent < 0 || washersPresent > most) {
    throw new RangeError(`washersPresent on ${look.on} must be a whole number from 0 to ${most}`);
  }
  if (look.on < pivot.fittedOn) {
    throw new RangeError(`look on ${look.on} is before the washers were fitted`);
  }
}
