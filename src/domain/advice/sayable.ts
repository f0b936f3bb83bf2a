import { addDays, addMonths, type Day, monthOf } from '../calendar/day.ts';
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

// By the traits of a top that do not change from day to day: herds are of a few sorts.
const forSorts = new WeakMap<readonly Advice[], Map<string, readonly Advice[]>>();

/** What care notes can ever tell of this top, of these rows; worked out once for all tops of its sort. */
export function careMeantFor(
  rows: readonly Advice[],
  top: TopFacts,
  values: AdviceValues,
): readonly Advice[] {
  const bySort = forSorts.get(rows) ?? new Map<string, readonly Advice[]>();
  forSorts.set(rows, bySort);
  const { material, window, keeping, powered, freeToMove } = top;
  const sort = `${material} ${window} ${keeping.place} ${keeping.salt} ${powered} ${freeToMove} ${isOilSeenTo(top)} ${isSeldomFolded(top, values)}`;
  const known = bySort.get(sort);
  if (known !== undefined) return known;
  const meant = rows.filter(
    (advice) => advice.carriedBy === 'care-note' && isMeantFor(advice.for, top, values),
  );
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
  const { from, until } = spanOf(advice.for, top, values);
  return isMeantFor(advice.for, top, values) && from <= day && (until === undefined || day < until);
}

/** The days on which the last oil and the last movement of a top let an advice be said. */
function spanOf(meant: MeantFor, top: TopFacts, values: AdviceValues): { from: Day; until?: Day } {
  const old = () => addMonths(top.oiledOn, values.springOilMonths);
  if (meant.oiled === 'long-ago') return { from: old() };
  if (meant.oiled === 'lately' && !isOilSeenTo(top)) return { from: top.fittedOn, until: old() };
  if (meant.seldomFolded === true && top.lastMovedOn !== null) {
    return { from: addDays(top.lastMovedOn, values.seldomDays) };
  }
  return { from: top.fittedOn };
}

/** The month of the northern year that has the season of this day. */
function northernMonth(day: Day, hemisphere: 'north' | 'south'): number {
  const month = monthOf(day);
  return hemisphere === 'north' ? month : ((month + 5) % 12) + 1;
}

/** The first day from `from` on (inclusive) at which the condition holds, or null if never again. */
export function firstDayOf(
  when: When,
  facts: AdviceFacts,
  from: Day,
  values: AdviceValues,
): Day | null {
  switch (when.kind) {
    case 'days-after-fitting':
      return firstWithin(facts.top.fittedOn, when.from, when.to, from);
    case 'years-after-fitting':
      return later(addMonths(facts.top.fittedOn, 12 * when.from), from);
    case 'month':
      return firstInMonths((month) => when.north.includes(month), facts.hemisphere, from);
    case 'frost':
      return firstInMonths(frostMonths(when.months, values), facts.hemisphere, from);
    case 'frost-after-fitting': {
      const start = later(addDays(facts.top.fittedOn, when.from), from);
      const day = firstInMonths(frostMonths('any', values), facts.hemisphere, start);
      return day === null || day > addDays(facts.top.fittedOn, when.to) ? null : day;
    }
    case 'event':
      return earliest(facts.events, from, (event) =>
        event.name === when.name ? firstWithin(event.on, 0, when.withinDays, from) : null,
      );
    default:
      return when satisfies never;
  }
}

/** Which months of the northern year have frost at the place: none where there is none. */
function frostMonths(which: 'first' | 'any', values: AdviceValues): (north: number) => boolean {
  const count = which === 'first' ? Math.min(1, values.frostMonths) : values.frostMonths;
  return (north) => (north - values.frostFirstMonth + 12) % 12 < count;
}

function firstInMonths(
  isAmongThem: (north: number) => boolean,
  hemisphere: 'north' | 'south',
  from: Day,
): Day | null {
  const month = northernMonth(from, hemisphere);
  for (let ahead = 0; ahead < 12; ahead += 1) {
    if (!isAmongThem(((month - 1 + ahead) % 12) + 1)) continue;
    return ahead === 0 ? from : addMonths(`${from.slice(0, 7)}-01`, ahead);
  }
  return null;
}

/**
 * The first day from `from` on (inclusive) at which an advice that is meant for the top
 * (`careMeantFor`) may be said to this owner: one of its conditions holds, the top is old enough, and
 * it was not said within the pause. Null if that day never comes unless something new happens, or if it is none
 * before `before`, where one is named.
 */
export function firstSayable(
  advice: Advice,
  facts: AdviceFacts,
  from: Day,
  values: AdviceValues,
  before: Day | null = null,
): Day | null {
  const { fittedOn } = facts.top;
  const { notBeforeDay } = advice;
  const isTooLate = (day: Day) => before !== null && day >= before;
  const span = spanOf(advice.for, facts.top, values);
  let start = later(from, notBeforeDay === undefined ? fittedOn : addDays(fittedOn, notBeforeDay));
  start = later(start, span.from);
  if (isTooLate(start)) return null;
  const pause = Math.max(values.repeatMonths, advice.repeatMonths ?? 0);
  for (const sent of facts.alreadySent) {
    if (sent.adviceId === advice.id || sent.adviceId === advice.saidWith)
      start = later(start, addMonths(sent.on, pause));
  }
  if (isTooLate(start)) return null;
  const first = earliest(advice.when, start, (when) => firstDayOf(when, facts, start, values));
  if (first === null || isTooLate(first)) return null;
  return span.until !== undefined && first >= span.until ? null : first;
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
  return day > addDays(anchor, last) ? null : later(addDays(anchor, first), day);
}
