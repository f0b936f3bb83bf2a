import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { figuresOf } from '../../domain/figure-tables/letter-figures.ts';
import { lookDue } from '../../domain/lubrication/look-again.ts';
import type { CarFacts } from '../../domain/round/car-facts.ts';

/** When what was found stiff or repaired on a day is looked at again; null where nothing was. */
export function lookAgainAfter(
  { top, organisation, timeZone }: CarFacts,
  doneOn: Day,
  at: Instant,
): { from: Day; to: Day } | null {
  if (top === null || top.lookAfterOn !== doneOn) return null;
  const facts = { since: doneOn, oilDueOn: top.dueOn, today: dayIn(timeZone, at) };
  const look = lookDue(facts, figuresOf(organisation).look);
  return look === null ? null : { from: look.windowFrom, to: look.windowTo };
}
