import type { Day } from '../../domain/calendar/day.ts';
import { addDays, weekdayOf } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn, instantAt } from '../../domain/calendar/zone.ts';
import { lettersHaveLeft } from '../../store/letters/past-rows.ts';
import { visitsAhead } from '../../store/visits/visit-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { changeVisit } from '../visits/change-visit.ts';
import type { Cast, ClubSeed } from './scenario-club.ts';
import { idOf, replayAsking, replayChoices, SATURDAY } from './scenario-club.ts';

/** A care day of the past: asked for and chosen weeks before, and who was not there at its end. */
export type GoneDayHappening = {
  readonly at: Instant;
  readonly heldOn: Day;
  readonly goneDay: ClubSeed['goneDay'];
} & ({ readonly what: 'gone-day' } | { readonly what: 'gone-day-over' });

const ASKED_DAYS_BEFORE = 35;

/** The day on which it was held. */
export function goneDayOf({ goneDay }: ClubSeed, today: Day): Day {
  let day = addDays(today, -goneDay.daysAgo);
  while (weekdayOf(day) !== SATURDAY) day = addDays(day, -1);
  return day;
}

/** The cars that came to it: they were oiled there. */
export function cameOn({ goneDay }: ClubSeed): string[] {
  return goneDay.asked.filter(({ came }) => came).map(({ car }) => car);
}

export function goneDayStory(club: ClubSeed, timeZone: string, now: Instant): GoneDayHappening[] {
  const heldOn = goneDayOf(club, dayIn(timeZone, now));
  const { goneDay } = club;
  const asked = instantAt(timeZone, addDays(heldOn, -ASKED_DAYS_BEFORE), '18:00');
  return [
    { what: 'gone-day', at: asked, heldOn, goneDay },
    { what: 'gone-day-over', at: instantAt(timeZone, heldOn, '17:30'), heldOn, goneDay },
  ];
}

/** Asks and lets choose. The letters of it left long ago. */
export async function replayGoneDay(
  context: Context,
  caller: Caller,
  cast: Cast,
  { heldOn, goneDay }: GoneDayHappening,
): Promise<void> {
  const { asked, daysAgo: _, ...day } = goneDay;
  const { sql, records } = cast.tx;
  const { organisationId } = caller;
  const { timeZone } = await records.organisation.findUniqueOrThrow({
    where: { id: organisationId },
  });
  const id = await replayAsking(context, caller, cast, { ...day, heldOn }, asked);
  await lettersHaveLeft(sql, organisationId, context.now());
  await replayChoices(context, caller, cast, { id, heldOn, timeZone }, asked);
  await lettersHaveLeft(sql, organisationId, context.now());
}

/** Notes who had a time and was not there. */
export async function replayNobodyCame(
  context: Context,
  caller: Caller,
  { tx, cars }: Cast,
  { heldOn, goneDay }: GoneDayHappening,
): Promise<void> {
  const away = goneDay.asked.filter(({ came, from }) => !came && from !== undefined);
  for (const { car } of away) {
    const top = await tx.records.top.findFirstOrThrow({
      where: { carId: idOf(cars, car), retiredOn: null },
    });
    const visits = await visitsAhead(tx.records, top.id);
    for (const { id } of visits.filter(({ plannedOn }) => plannedOn === heldOn)) {
      await changeVisit(context, caller, id, { state: 'missed' }, '*');
    }
  }
}
