import { addDays, addMonths, type Day, monthOf } from '../calendar/day.ts';
import type { Advice, AdviceFacts, MeantFor, TopFacts, When } from './advice.ts';

/** Whether an advice is meant for this top at all. */
export function isMeantFor(meant: MeantFor, top: TopFacts): boolean {
  return (
    (meant.material === undefined || meant.material === top.material) &&
    (meant.window === undefined || meant.window.includes(top.window)) &&
    (meant.place === undefined || meant.place.includes(top.keeping.place)) &&
    (meant.salt === undefined || meant.salt.includes(top.keeping.salt)) &&
    (meant.powered === undefined || meant.powered === top.powered)
  );
}

/** The month of the northern year that has the season of this day. */
function northernMonth(day: Day, hemisphere: 'north' | 'south'): number {
  const month = monthOf(day);
  return hemisphere === 'north' ? month : ((month + 5) % 12) + 1;
}

/** The first day from `from` on (inclusive) at which the condition holds, or null if never again. */
export function firstDayOf(when: When, facts: AdviceFacts, from: Day): Day | null {
  switch (when.kind) {
    case 'days-after-fitting':
      return firstWithin(
        addDays(facts.top.fittedOn, when.from),
        addDays(facts.top.fittedOn, when.to),
        from,
      );
    case 'years-after-fitting':
      return later(addMonths(facts.top.fittedOn, 12 * when.from), from);
    case 'month': {
      const month = northernMonth(from, facts.hemisphere);
      for (let ahead = 0; ahead < 12; ahead += 1) {
        if (!when.north.includes(((month - 1 + ahead) % 12) + 1)) continue;
        return ahead === 0 ? from : addMonths(`${from.slice(0, 7)}-01`, ahead);
      }
      return null;
    }
    case 'event':
      return earliest(facts.events, from, (event) =>
        event.name === when.name
          ? firstWithin(event.on, addDays(event.on, when.withinDays), from)
          : null,
      );
    default:
      return when satisfies never;
  }
}

/**
 * The first day from `from` on (inclusive) at which the advice may be said to this owner: it is
 * meant for the top, one of its conditions holds, the top is old enough, and it was not said
 * within `repeatMonths`. Null if that day never comes unless something new happens.
 */
export function firstSayable(
  advice: Advice,
  facts: AdviceFacts,
  from: Day,
  repeatMonths: number,
): Day | null {
  if (advice.carriedBy !== 'care-note' || !isMeantFor(advice.for, facts.top)) return null;
  const pause = Math.max(repeatMonths, advice.repeatMonths ?? 0);
  const { fittedOn } = facts.top;
  const { notBeforeDay } = advice;
  let start = later(from, notBeforeDay === undefined ? fittedOn : addDays(fittedOn, notBeforeDay));
  for (const sent of facts.alreadySent) {
    if (sent.adviceId === advice.id) start = later(start, addMonths(sent.on, pause));
  }
  return earliest(advice.when, start, (when) => firstDayOf(when, facts, start));
}

/** The earliest day that the items have, none of them before `from`; null where none has one. */
export function earliest<Item>(
  items: readonly Item[],
  from: Day,
  dayOf: (item: Item) => Day | null,
): Day | null {
  let first: Day | null = null;
  for (const item of items) {
    const day = dayOf(item);
    if (day === null || (first !== null && day >= first)) continue;
    first = day;
    if (first <= from) break;
  }
  return first;
}

function later(a: Day, b: Day): Day {
  return a < b ? b : a;
}

function firstWithin(start: Day, end: Day, from: Day): Day | null {
  return from > end ? null : later(start, from);
}
