import type { Day } from '../../domain/calendar/day.ts';
import { addDays, weekdayOf } from '../../domain/calendar/day.ts';
import type { Chance } from './scenario-chance.ts';
import type { SeedOrganisation } from './scenario-seeds.ts';

type Kind = SeedOrganisation['organisation']['kind'];

/** Whether people of this kind work on cars on a day: a shop in the week, a club at its end. */
export function isOpen(kind: Kind, day: Day): boolean {
  if (kind === 'private') return true;
  return kind === 'shop' ? weekdayOf(day) <= 5 : weekdayOf(day) > 5;
}

/** The day itself where it is open, else the last open day before it. */
export function openBy(kind: Kind, day: Day): Day {
  return isOpen(kind, day) ? day : openBy(kind, addDays(day, -1));
}

/** The day itself where it is open, else the first open day after it. */
export function openFrom(kind: Kind, day: Day): Day {
  return isOpen(kind, day) ? day : openFrom(kind, addDays(day, 1));
}

/**
 * A day so many days from `today`, by chance one of those that fit; one that does not fit where
 * none does.
 */
export function pickDay(
  today: Day,
  [least, most]: readonly [number, number],
  chance: Chance,
  fits: (day: Day) => boolean,
): Day {
  const days = most - least + 1;
  const first = chance.whole(0, days - 1);
  const candidates = Array.from({ length: days }, (_, i) =>
    addDays(today, least + ((first + i) % days)),
  );
  return candidates.find(fits) ?? addDays(today, least + first);
}
