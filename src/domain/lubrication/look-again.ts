import type { Day } from '../calendar/day.ts';
import { addDays, daysBetween } from '../calendar/day.ts';
import type { FigureTable, FigureValues } from '../figures/figure.ts';
import { valuesOf } from '../figures/figure.ts';

const FOUR_TO_EIGHT =
  'four to eight weeks after a joint was found stiff or repaired; nobody published a figure';
const days = (value: number, source: string, min: number, max: number) =>
  ({ value, unit: 'days', mark: 'shop rule', source, min, max }) as const;

/** When a joint that was found stiff or repaired is looked at again. The bounds keep its window ahead. */
export const LOOK_FIGURES = {
  afterDays: days(42, FOUR_TO_EIGHT, 14, 180),
  windowBeforeDays: days(14, FOUR_TO_EIGHT, 0, 14),
  windowAfterDays: days(14, FOUR_TO_EIGHT, 0, 60),
  lateDays: days(7, 'after the window a second letter; after that it is for a call', 1, 60),
  lapseDays: days(28, 'so long after the window it is still asked for', 8, 180),
} as const satisfies FigureTable;

export type LookFigures = FigureValues<typeof LOOK_FIGURES>;

/** What the latest reading of one joint says, whatever the top was that it was read on. */
export interface LatestReading {
  readonly doneOn: Day;
  readonly state: string;
  readonly repaired: boolean;
}

export interface VisitDone {
  readonly kind: string;
  readonly doneOn: Day;
  /** It has a reading of at least one joint. */
  readonly named: boolean;
}

/** Joints in these states are mended by a repair visit that names none. */
const BAD: ReadonlySet<string> = new Set(['stiff', 'loose', 'oval', 'seized', 'sheared']);

/**
 * The day of the visit after which joints want to be looked at again: the last one at which a joint
 * was stiff or was repaired, unless that joint was read again since, or a look took place. Null where
 * none asks for it. A repair recorded without a word about single joints counts for all that were bad.
 */
export function lookAsked(
  latest: readonly LatestReading[],
  visits: readonly VisitDone[],
): Day | null {
  const asked = latest.flatMap((reading) => askedBy(reading, visits));
  const looked = visits.filter(({ kind }) => kind === 'look').map(({ doneOn }) => doneOn);
  return asked
    .filter((since) => !looked.some((day) => day > since))
    .reduce<Day | null>((last, day) => (last === null || day > last ? day : last), null);
}

function askedBy({ doneOn, state, repaired }: LatestReading, visits: readonly VisitDone[]): Day[] {
  if (repaired) return [doneOn];
  const mended = visits
    .filter(({ kind, named, doneOn: on }) => kind === 'repair' && !named && on >= doneOn)
    .map(({ doneOn: on }) => on);
  return [...(state === 'stiff' ? [doneOn] : []), ...(BAD.has(state) ? mended : [])];
}

/**
 * Days since a joint was found stiff or repaired, from the day on which its second look is due and for as long as
 * it did not take place, also when no letter asks for it any more. Null before, and where an oiling takes
 * its place.
 */
export function notLookedAtDays(
  facts: { readonly since: Day | null; readonly oilDueOn: Day; readonly today: Day },
  figures: LookFigures = valuesOf(LOOK_FIGURES),
): number | null {
  const { since, oilDueOn, today } = facts;
  if (since === null) return null;
  const windowTo = addDays(since, figures.afterDays + figures.windowAfterDays);
  if (since <= oilDueOn && oilDueOn <= windowTo) return null;
  const waited = daysBetween(since, today);
  return waited < figures.afterDays ? null : waited;
}

/** When a look is due. */
export interface LookDue {
  /** The visit at which a joint was found stiff or repaired. */
  readonly since: Day;
  readonly dueOn: Day;
  readonly windowFrom: Day;
  readonly windowTo: Day;
  /** 'ahead' before the window, 'open' inside it, 'late' after it. */
  readonly state: 'ahead' | 'open' | 'late';
}

/**
 * The look that a top is due for, from four to eight weeks after the visit that asks for it (shop
 * rule). Null where there is none, where the oiling falls due within that time and takes its place,
 * and once it is so late that only a call helps.
 */
export function lookDue(
  {
    since,
    oilDueOn,
    today,
  }: { readonly since: Day | null; readonly oilDueOn: Day; readonly today: Day },
  figures: LookFigures = valuesOf(LOOK_FIGURES),
): LookDue | null {
  if (since === null) return null;
  const dueOn = addDays(since, figures.afterDays);
  const windowFrom = addDays(dueOn, -figures.windowBeforeDays);
  const windowTo = addDays(dueOn, figures.windowAfterDays);
  if (since <= oilDueOn && oilDueOn <= windowTo) return null;
  if (today > addDays(windowTo, figures.lapseDays)) return null;
  const open = today <= windowTo ? 'open' : 'late';
  return { since, dueOn, windowFrom, windowTo, state: today < windowFrom ? 'ahead' : open };
}
