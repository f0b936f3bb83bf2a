import type { BenchPlan } from '../../domain/bench/plan.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { OfferedKind, OfferRow } from '../../store/diary/offer-rows.ts';
import type { CalendarWeek, DiaryCalendar } from '../bench/diary-calendar.ts';
import type { DiaryVisit } from '../bench/diary-visits.ts';
import { expectedId } from '../bench/diary-visits.ts';
import { weeksToOffer } from '../bench/offer-weeks.ts';
import { newId } from '../context/new-id.ts';

/** The weeks from which the owner of an expected visit may choose. */
export interface Choice {
  readonly week: string;
  readonly weeks: string[];
  /** The offer that says so already; null where it has to be made. */
  readonly standing: OfferRow | null;
}

/**
 * What to offer for each expected visit that the plan has a week for, by visit. An offer already
 * made stands while the plan keeps its week and each of its weeks has room. The second oiling of a
 * top within the plan only takes its room: it is offered when its turn comes; and so does one whose
 * owner cannot be written to.
 */
export function choicesFor(
  plan: BenchPlan,
  visits: readonly DiaryVisit[],
  weeks: readonly CalendarWeek[],
  offers: ReadonlyMap<string, OfferRow>,
  count: number,
): Map<string, Choice> {
  const weekOf = weeksOfPlan(plan);
  const room = roomBeside(visits, weekOf, weeks);
  const choices = new Map<string, Choice>();
  for (const visit of visits) {
    const { id, kind, on, dueOn, top, places, earliest, latest } = visit;
    const week = weekOf.get(id);
    if (on !== null || week === undefined) continue;
    if (kind === 'lubrication' && dueOn !== top.dueOn) continue;
    if (visit.unwritable === true) continue;
    // What the visit itself takes of its week is free for it.
    const own = room.map((left, i) => (weeks[i]?.id === week ? left + places : left));
    const offer = offers.get(id);
    if (offer !== undefined && offer.week === week && stands(offer, places, weeks, own)) {
      choices.set(id, { week, weeks: weeksOf(offer), standing: offer });
    } else {
      const open = weeksToOffer({ places, earliest, latest, planned: week }, weeks, room, count);
      choices.set(id, { week, weeks: open, standing: null });
    }
  }
  return choices;
}

/** The offers to be made, and the ids of those that do not hold any more. */
export function offersToStore(
  choices: ReadonlyMap<string, Choice>,
  known: {
    /** Every visit that falls due, and those of them that this plan places. */
    readonly expected: readonly DiaryVisit[];
    readonly planned: readonly DiaryVisit[];
    readonly offers: readonly OfferRow[];
    readonly calendar: DiaryCalendar;
    readonly last: Day;
    readonly now: Instant;
  },
): { fresh: OfferRow[]; ended: string[] } {
  const { expected, planned, offers, calendar, last, now } = known;
  const fresh = planned.flatMap(({ id, top, dueOn, kind: of }) => {
    const choice = choices.get(id);
    if (choice === undefined || choice.standing !== null || dueOn === null) return [];
    const { week, weeks } = choice;
    const { topId } = top;
    const kind: OfferedKind = of === 'look' ? 'look' : 'lubrication';
    const offer = { topId, week, weeks: JSON.stringify(weeks), dueOn, kind, offeredAt: now };
    return [{ id: newId(), ...offer }];
  });
  const kept = new Set([...choices.values()].flatMap(({ standing }) => standing?.id ?? []));
  const placedHere = new Set(planned.map(({ id }) => id));
  const stillDue = new Set(expected.map(({ id }) => id));
  const ended = offers.filter((offer) => {
    const visit = expectedId(offer);
    if (kept.has(offer.id)) return false;
    if (placedHere.has(visit)) return true;
    // Due in the weeks looked at and yet not waiting: booked, done, retired or due on another day.
    const within = addDays(offer.dueOn, -calendar.due.windowBeforeDays) <= last;
    return within && !stillDue.has(visit);
  });
  return { fresh, ended: ended.map(({ id }) => id) };
}

/** The week that a plan has for each visit, late ones too. */
export function weeksOfPlan(plan: BenchPlan): Map<string, string> {
  return new Map(
    [...plan.placed, ...plan.outside].map(({ id, week }) => [String(id), String(week)]),
  );
}

function weeksOf(offer: OfferRow): string[] {
  return JSON.parse(offer.weeks) as string[];
}

function stands(
  offer: OfferRow,
  places: number,
  weeks: readonly CalendarWeek[],
  room: readonly number[],
): boolean {
  return weeksOf(offer).every((id) => {
    const at = weeks.findIndex((week) => week.id === id);
    return at >= 0 && (room[at] ?? 0) >= places;
  });
}

function roomBeside(
  visits: readonly DiaryVisit[],
  weekOf: ReadonlyMap<string, string>,
  weeks: readonly CalendarWeek[],
): number[] {
  const taken = new Map<string, number>();
  for (const { id, places } of visits) {
    const week = weekOf.get(id);
    if (week !== undefined) taken.set(week, (taken.get(week) ?? 0) + places);
  }
  return weeks.map(({ id, capacity }) => Math.max(0, capacity - (taken.get(id) ?? 0)));
}
