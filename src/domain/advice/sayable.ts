import { addDays, addMonths, type Day, daysBetween, monthOf } from '../calendar/day.ts';
import type { FigureValues } from '../figures/figure.ts';
import type { ADVICE_FIGURES } from './advice-figures.ts';
import type { Advice, AdviceFacts, MeantFor, TopFacts, When } from './advice.ts';

export type AdviceValues = FigureValues<typeof ADVICE_FIGURES>;

/** Whether an advice is meant for this top at all, whatever the day. */
function isMeantFor(meant: MeantFor, top: TopFacts, values: AdviceValues): boolean {
  return (
    (meant.material === undefined || meant.material === top.material) &&
    (meant.window === undefined || meant.window.includes(top.window)) &&
    isAmong(meant.place, top.keeping.place) &&
    isAmong(meant.salt, top.keeping.salt) &&
    (meant.powered === undefined || meant.powered === top.powered) &&
    (meant.freeToMove === undefined || top.freeToMove) &&
    (meant.seldomFolded === undefined || isSeldomFolded(top, values)) &&
    (meant.oiled !== 'long-ago' || !isOilSeenTo(top))
  );
}

/** What an advice asks of a day, laid out alike for all: a round asks each of them about every car. */
export interface Sayable {
  readonly advice: Advice;
  /** The months in which it is in season, whatever else is so. */
  readonly months: Months;
  /** The other conditions of which any one is enough. */
  readonly otherwise: readonly When[];
  readonly notBeforeDay: number;
  readonly repeatMonths: number;
  readonly saidWith: string | null;
  readonly oiled: MeantFor['oiled'] | null;
  readonly seldomFolded: boolean;
}

function sayableOf(advice: Advice): Sayable {
  const { when, notBeforeDay = 0, repeatMonths = 0, saidWith = null } = advice;
  const { oiled = null, seldomFolded = false } = advice.for;
  const months = when.flatMap((one) => (one.kind === 'month' ? one.north : []));
  const otherwise = when.filter(({ kind }) => kind !== 'month');
  return {
    advice,
    months: monthsOf(months),
    otherwise,
    notBeforeDay,
    repeatMonths,
    saidWith,
    oiled,
    seldomFolded,
  };
}

// By the traits of a top that do not change from day to day: herds are of a few sorts.
const forSorts = new WeakMap<readonly Advice[], Map<string, readonly Sayable[]>>();

/** What care notes can ever tell of this top, of these rows; worked out once for all tops of its sort. */
export function careMeantFor(
  rows: readonly Advice[],
  top: TopFacts,
  values: AdviceValues,
): readonly Sayable[] {
  const bySort = forSorts.get(rows) ?? new Map<string, readonly Sayable[]>();
  forSorts.set(rows, bySort);
  const { material, window, keeping, powered, freeToMove } = top;
  const sort = `${material} ${window} ${keeping.place} ${keeping.salt} ${powered} ${freeToMove} ${isOilSeenTo(top)} ${isSeldomFolded(top, values)}`;
  const known = bySort.get(sort);
  if (known !== undefined) return known;
  const meant = rows
    .filter((advice) => advice.carriedBy === 'care-note' && isMeantFor(advice.for, top, values))
    .map(sayableOf);
  bySort.set(sort, meant);
  return meant;
}

/** Whether the oil is cared for otherwise: an oiling is booked, or the reminders ask for one. */
function isOilSeenTo({ oilingBooked, oilAsked }: TopFacts): boolean {
  return oilingBooked || oilAsked;
}

function isSeldomFolded({ down, foldsPerYear }: TopFacts, values: AdviceValues): boolean {
  return !down && (foldsPerYear ?? 0) <= values.seldomFolds;
}

function isAmong<T>(meant: readonly T[] | undefined, kept: T | null): boolean {
  return meant === undefined || (kept !== null && meant.includes(kept));
}

/**
 * Whether what an advice takes for granted of a top still holds on a day: what it is made of, how it is
 * kept, its last oil and when it was last moved. Seasons and events pass without making it untrue.
 */
export function holdsFor(advice: Advice, top: TopFacts, day: Day, values: AdviceValues): boolean {
  const sayable = sayableOf(advice);
  const until = heldUntil(sayable, top, values);
  return (
    isMeantFor(advice.for, top, values) &&
    heldFrom(sayable, top, values) <= day &&
    (until === null || day < until)
  );
}

/** The first day on which the last oil and the last movement of a top let an advice be said. */
function heldFrom({ oiled, seldomFolded }: Sayable, top: TopFacts, values: AdviceValues): Day {
  if (oiled === 'long-ago') return addMonths(top.oiledOn, values.springOilMonths);
  return seldomFolded && top.lastMovedOn !== null
    ? addDays(top.lastMovedOn, values.seldomDays)
    : top.fittedOn;
}

/** The day on which the last oil of a top ends what lets an advice be said; null where nothing does. */
function heldUntil({ oiled }: Sayable, top: TopFacts, values: AdviceValues): Day | null {
  return oiled === 'lately' && !isOilSeenTo(top)
    ? addMonths(top.oiledOn, values.springOilMonths)
    : null;
}

/** The month of the northern year that has the season of this day. */
function northernMonth(day: Day, hemisphere: 'north' | 'south'): number {
  const month = monthOf(day);
  return hemisphere === 'north' ? month : ((month + 5) % 12) + 1;
}

/** The first day from `from` on (inclusive) at which the condition holds, or null if never again. */
export function firstDayOf(
  when: When,
  { top: { fittedOn }, hemisphere, events }: AdviceFacts,
  from: Day,
  values: AdviceValues,
): Day | null {
  switch (when.kind) {
    case 'days-after-fitting':
      return firstWithin(fittedOn, when.from, when.to, from);
    case 'years-after-fitting':
      return later(addMonths(fittedOn, 12 * when.from), from);
    case 'month':
      return firstInMonths(monthsOf(when.north), hemisphere, from);
    case 'frost':
      return firstInMonths(frostMonths(when.months, values), hemisphere, from);
    case 'frost-after-fitting': {
      const start = firstWithin(fittedOn, when.from, when.to, from);
      if (start === null) return null;
      const day = firstInMonths(frostMonths('any', values), hemisphere, start);
      return day === null || daysBetween(fittedOn, day) > when.to ? null : day;
    }
    case 'event':
      return earliest(events, from, (event) =>
        event.name === when.name ? firstWithin(event.on, 0, when.withinDays, from) : null,
      );
    default:
      return when satisfies never;
  }
}

/** Months of the northern year as bits, the lowest for January: a round asks of each advice and each car. */
type Months = number;

/** The month of the northern year that a day is in, as `Sayable.months` has it. */
export function seasonOf(day: Day, hemisphere: 'north' | 'south'): Months {
  return 1 << (northernMonth(day, hemisphere) - 1);
}

function monthsOf(north: readonly number[]): Months {
  return north.reduce((months, month) => months | (1 << (month - 1)), 0);
}

/** Which months have frost at the place: none where there is none. */
function frostMonths(which: 'first' | 'any', values: AdviceValues): Months {
  const count = which === 'first' ? Math.min(1, values.frostMonths) : values.frostMonths;
  const months = ((1 << count) - 1) << (values.frostFirstMonth - 1);
  return (months | (months >>> 12)) & YEAR;
}

const YEAR: Months = (1 << 12) - 1;

function firstInMonths(months: Months, hemisphere: 'north' | 'south', from: Day): Day | null {
  if (months === 0) return null;
  const fromNow = (months | (months << 12)) >>> (northernMonth(from, hemisphere) - 1);
  // The place of the lowest bit.
  const ahead = 31 - Math.clz32(fromNow & -fromNow);
  return ahead === 0 ? from : addMonths(`${from.slice(0, 7)}-01`, ahead);
}

/**
 * The first day from `from` on (inclusive) at which an advice that is meant for the top
 * (`careMeantFor`) may be said to this owner: one of its conditions holds, the top is old enough, and
 * it was not said within the pause. Null if that day never comes unless something new happens, or if it is none
 * before `before`, where one is named.
 */
export function firstSayable(
  sayable: Sayable,
  facts: AdviceFacts,
  from: Day,
  values: AdviceValues,
  before: Day | null = null,
): Day | null {
  const { advice, months, otherwise, notBeforeDay, repeatMonths, saidWith } = sayable;
  const { fittedOn } = facts.top;
  const isTooLate = (day: Day) => before !== null && day >= before;
  let start = later(from, notBeforeDay === 0 ? fittedOn : addDays(fittedOn, notBeforeDay));
  start = later(start, heldFrom(sayable, facts.top, values));
  if (isTooLate(start)) return null;
  for (const { adviceId, on } of facts.alreadySent) {
    if (adviceId !== advice.id && adviceId !== saidWith) continue;
    start = later(start, addMonths(on, Math.max(values.repeatMonths, repeatMonths)));
  }
  if (isTooLate(start)) return null;
  let first = firstInMonths(months, facts.hemisphere, start);
  if (first !== start && otherwise.length > 0) {
    const day = earliest(otherwise, start, (when) => firstDayOf(when, facts, start, values));
    if (first === null || (day !== null && day < first)) first = day;
  }
  if (first === null || isTooLate(first)) return null;
  const until = heldUntil(sayable, facts.top, values);
  return until !== null && first >= until ? null : first;
}

/**
 * The earliest day that the items have, none of them before `from`; null where none has one. `dayOf` may
 * leave out a day that is not before the one it is told.
 */
export function earliest<Item>(
  items: readonly Item[],
  from: Day,
  dayOf: (item: Item, before: Day | null) => Day | null,
): Day | null {
  let first: Day | null = null;
  for (const item of items) {
    const day = dayOf(item, first);
    if (day === null || (first !== null && day >= first)) continue;
    first = day;
    if (first <= from) break;
  }
  return first;
}

function later(a: Day, b: Day): Day {
  return a < b ? b : a;
}

/** The first day from `day` on between so many days after an anchor; null where they are past. */
function firstWithin(anchor: Day, first: number, last: number, day: Day): Day | null {
  const since = daysBetween(anchor, day);
  if (since > last) return null;
  return since >= first ? day : addDays(anchor, first);
}
