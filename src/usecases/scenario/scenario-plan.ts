import type { Day } from '../../domain/calendar/day.ts';
import { addDays, addMonths } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn, instantAt } from '../../domain/calendar/zone.ts';
import type { Setting } from './scenario-car-story.ts';
import { carDays, carStory, patternsOf } from './scenario-car-story.ts';
import { chanceOf } from './scenario-chance.ts';
import { deskStory } from './scenario-desk.ts';
import type { Happening, OrganisationStory } from './scenario-happening.ts';
import { cameOn, goneDayOf, goneDayStory } from './scenario-gone-day.ts';
import { roundsStory } from './scenario-rounds.ts';
import type { SeedOwner, Seeds } from './scenario-seeds.ts';

/** The whole scenario as it would have been recorded up to `now`. Equal seeds and now: equal story. */
export function planScenario(
  { organisations, findings }: Seeds,
  now: Instant,
): OrganisationStory[] {
  return organisations.map((seed) => {
    const { timeZone, startedMonthsAgo } = seed.organisation;
    const startedOn = addMonths(dayIn(timeZone, now), -startedMonthsAgo);
    const startedAt = instantAt(timeZone, startedOn, '08:00');
    const setting = { seed, findings, now, startedOn, careDayOf: careDays(seed, now) };
    const happenings = [
      ...patternsOf(seed).map(
        (pattern) => ({ what: 'pattern', at: startedAt, ...pattern }) as const,
      ),
      ...seed.owners.flatMap((owner) => ownerStory(owner, setting)),
      ...(seed.desk === undefined ? [] : deskStory(seed.desk, timeZone, now)),
      ...(seed.club === undefined
        ? []
        : [
            ...goneDayStory(seed.club, timeZone, now),
            { what: 'club', at: now, club: seed.club } as const,
          ]),
      ...roundsStory(seed, now),
    ];
    // Stable: what was recorded at one instant stays in its order.
    happenings.sort((a, b) => (a.at < b.at ? -1 : Number(a.at > b.at)));
    return { organisation: seed.organisation, startedAt, happenings };
  });
}

/** The care day that a car came to, by registration. */
function careDays({ club, organisation }: Seeds['organisations'][number], now: Instant) {
  if (club === undefined) return new Map<string, Day>();
  const heldOn = goneDayOf(club, dayIn(organisation.timeZone, now));
  return new Map(cameOn(club).map((car) => [car, heldOn]));
}

function ownerStory(owner: SeedOwner, setting: Setting): Happening[] {
  const { seed, now } = setting;
  const zone = seed.organisation.timeZone;
  const today = dayIn(zone, now);
  const cars = owner.cars.map((car) => ({ car, ...carDays(car, setting, today) }));
  const joinedOn = cars.reduce((first, { joinedOn: on }) => (on < first ? on : first), today);
  const { name, email, phone, timeZone, language, refusesCalls } = owner;
  const lately = (days: number) => {
    const on = addDays(today, -days);
    return instantAt(zone, on > joinedOn ? on : joinedOn, '19:30');
  };
  const chance = chanceOf(email);
  return [
    {
      what: 'owner',
      at: instantAt(zone, joinedOn, '08:30'),
      owner: { name, email, phone, timeZone, language, refusesCalls },
    },
    ...cars.flatMap((one) => carStory(owner, one, setting)),
    ...(owner.refuses === undefined
      ? []
      : [
          {
            what: 'refusal',
            at: lately(chance.whole(30, 200)),
            owner: email,
            topics: owner.refuses,
          } as const,
        ]),
    ...(owner.bounced === undefined
      ? []
      : [
          {
            what: 'bounce',
            at: lately(chance.whole(10, 40)),
            owner: email,
            why: owner.bounced,
          } as const,
        ]),
  ];
}
