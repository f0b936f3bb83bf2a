import type { Day } from '../calendar/day.ts';
import type { WeekId } from './horizon.ts';

/** A week that may be offered: its bench, what of it is left, and the days the shop is open. */
export interface OfferableWeek {
  readonly id: WeekId;
  readonly capacity: number;
  readonly room: number;
  readonly openDays: readonly Day[];
}

/** Days on which the owner cannot come; both ends included. */
export interface Away {
  readonly from: Day;
  readonly to: Day;
}

/** The weeks to offer, the quietest first; with none, the reason in words. */
export interface Offers {
  readonly weeks: readonly WeekId[];
  readonly because?: string;
}

/**
 * Up to `count` weeks to offer an owner: `window` holds the weeks of the due window in order. A week
 * counts if it has room for the visit and an open day on which the owner is not away. The window is
 * cut into `count` equal stretches and the quietest week of each is taken, so that the choice is
 * spread; stretches without one leave their turn to the quietest weeks that remain. Quiet means the
 * larger share of the bench free; of equal weeks the earlier one is taken.
 */
export function offerWeeks(
  window: readonly OfferableWeek[],
  places: number,
  away: readonly Away[],
  count: number,
): Offers {
  const possible = window
    .map((week, position) => ({ week, position, free: freeShare(week) }))
    .filter(({ week }) => week.room >= places && comes(week, away));
  if (possible.length === 0) return { weeks: [], because: whyNone(window, places) };
  const quietFirst = possible.toSorted((a, b) => b.free - a.free || a.position - b.position);
  const stretchOf = (position: number) => Math.floor((position * count) / window.length);
  const taken = new Set<number>();
  const chosen = quietFirst.filter(({ position }) => {
    const stretch = stretchOf(position);
    if (taken.has(stretch)) return false;
    taken.add(stretch);
    return true;
  });
  const more = quietFirst.filter((one) => !chosen.includes(one)).slice(0, count - chosen.length);
  const offered = [...chosen, ...more].sort((a, b) => b.free - a.free || a.position - b.position);
  return { weeks: offered.map(({ week }) => week.id) };
}

function freeShare(week: OfferableWeek): number {
  return week.capacity > 0 ? week.room / week.capacity : 0;
}

function comes(week: OfferableWeek, away: readonly Away[]): boolean {
  return week.openDays.some((day) => !away.some((gone) => gone.from <= day && day <= gone.to));
}

function whyNone(window: readonly OfferableWeek[], places: number): string {
  if (window.length === 0) return 'the due window has no week in the diary';
  const open = window.filter((week) => week.openDays.length > 0);
  if (open.length === 0) return 'the shop is closed in every week of the due window';
  const withRoom = open.filter((week) => week.room >= places);
  if (withRoom.length === 0) {
    const hours = places / 2;
    return `no week of the due window has ${hours} ${hours === 1 ? 'hour' : 'hours'} of bench left`;
  }
  return 'the owner is away in every week of the due window that has room';
}
