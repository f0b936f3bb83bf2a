import type { Day } from '../domain/calendar/day.ts';
import { addDays, addMonths } from '../domain/calendar/day.ts';
import type { Instant } from '../domain/calendar/instant.ts';
import { addMinutes } from '../domain/calendar/instant.ts';
import { dayIn, instantAt } from '../domain/calendar/zone.ts';
import type { PatternPivot } from '../domain/pivots/frame-patterns.ts';
import { framePatternNamed } from '../domain/pivots/frame-patterns.ts';
import type { Topic } from '../domain/round/letter-kind.ts';
import type { NewCar } from './add-car.ts';
import type { NewOwner } from './add-owner.ts';
import type { NewTop } from './fit-top.ts';
import type { NewEntry } from './log-position.ts';
import type { NewVisit } from './record-visit.ts';
import { chanceOf } from './scenario-chance.ts';
import { openFrom } from './scenario-days.ts';
import type { History } from './scenario-history.ts';
import { historyOf, keepingOf } from './scenario-history.ts';
import { entriesOf } from './scenario-positions.ts';
import { workOf } from './scenario-readings.ts';
import type { SeedCar, SeedHouse, SeedOwner, Seeds } from './scenario-seeds.ts';

/** One thing that was recorded, with what it was about: an owner by address, a car by registration. */
export type Happening = { readonly at: Instant } & (
  | { readonly what: 'pattern'; readonly name: string; readonly pivots: readonly PatternPivot[] }
  | { readonly what: 'owner'; readonly owner: NewOwner }
  | { readonly what: 'refusal'; readonly owner: string; readonly topics: readonly Topic[] }
  | { readonly what: 'bounce'; readonly owner: string; readonly why: string }
  | { readonly what: 'car'; readonly owner: string; readonly car: Omit<NewCar, 'ownerId'> }
  | { readonly what: 'top'; readonly car: string; readonly top: Omit<NewTop, 'carId'> }
  | { readonly what: 'visit'; readonly car: string; readonly visit: NewVisit }
  | { readonly what: 'no-show'; readonly car: string }
  | {
      readonly what: 'position';
      readonly car: string;
      readonly entry: NewEntry;
      readonly withdrawn: boolean;
    }
);

export interface HouseStory {
  readonly organisation: SeedHouse['organisation'];
  readonly startedAt: Instant;
  /** In the order in which they were recorded. */
  readonly happenings: readonly Happening[];
}

/** The whole scenario as it would have been recorded up to `now`. Equal seeds and now: equal story. */
export function planScenario({ houses, findings }: Seeds, now: Instant): HouseStory[] {
  return houses.map((house) => {
    const { timeZone, startedMonthsAgo } = house.organisation;
    const startedOn = addMonths(dayIn(timeZone, now), -startedMonthsAgo);
    const startedAt = instantAt(timeZone, startedOn, '08:00');
    const setting = { house, findings, now, startedOn };
    const happenings = [
      ...patternsOf(house).map(
        (pattern) => ({ what: 'pattern', at: startedAt, ...pattern }) as const,
      ),
      ...house.owners.flatMap((owner) => ownerStory(owner, setting)),
    ];
    // Stable: what was recorded at one instant stays in its order.
    happenings.sort((a, b) => (a.at < b.at ? -1 : Number(a.at > b.at)));
    return { organisation: house.organisation, startedAt, happenings };
  });
}

interface Setting {
  readonly house: SeedHouse;
  readonly findings: Seeds['findings'];
  readonly now: Instant;
  readonly startedOn: Day;
}

function patternsOf(house: SeedHouse): { name: string; pivots: PatternPivot[] }[] {
  return house.framePatterns.map(({ name, joints }) => ({
    name,
    pivots: (['L', 'R'] as const).flatMap((side) =>
      joints.map(({ name: joint, washers, ...drawn }) => ({
        code: `${side}-${joint}`,
        side,
        washersExpected: washers,
        ...drawn,
      })),
    ),
  }));
}

function ownerStory(owner: SeedOwner, setting: Setting): Happening[] {
  const { house, now } = setting;
  const zone = house.organisation.timeZone;
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

interface CarDays {
  readonly car: SeedCar;
  readonly history: History;
  /** Since when the car is in these records: its top may be older. */
  readonly joinedOn: Day;
}

function carDays(car: SeedCar, { house, startedOn }: Setting, today: Day): Omit<CarDays, 'car'> {
  const { kind } = house.organisation;
  const chance = chanceOf(car.registration);
  const history = historyOf(car, { kind, today, chance });
  const first = addDays(startedOn, chance.whole(1, 60));
  return { history, joinedOn: history.fittedOn > first ? history.fittedOn : first };
}

function carStory(
  owner: SeedOwner,
  { car, history, joinedOn }: CarDays,
  setting: Setting,
): Happening[] {
  const { house, findings, now } = setting;
  const zone = house.organisation.timeZone;
  const { kind } = house.organisation;
  const { fittedOn, recoveredOn } = history;
  const pivots = pivotsOf(car, house);
  const about = { car: car.registration };
  const top = (on: Day, material: SeedCar['cover']): Happening => ({
    what: 'top',
    at: instantAt(zone, on > joinedOn ? on : joinedOn, '15:00'),
    ...about,
    top: {
      fittedOn: on,
      framePattern: car.frame,
      cover: { material },
      window: car.window,
      warranties: car.warranties ?? usualWarranties(car, kind),
    },
  });
  return [
    {
      what: 'car',
      at: instantAt(zone, joinedOn, '08:40'),
      owner: owner.email,
      car: {
        registration: car.registration,
        handbook: { foldedLimitDays: car.limitDays, foldFloorCelsius: car.floor },
        keeping: keepingOf(car),
      },
    },
    top(fittedOn, recoveredOn === null ? car.cover : (car.oldCover ?? car.cover)),
    ...(recoveredOn === null ? [] : [top(recoveredOn, car.cover)]),
    ...history.visits
      .filter((visit) => visit.on > joinedOn)
      .map((visit): Happening => {
        const work = workOf({ kind, car, pivots, history, words: findings }, visit);
        const at = instantAt(zone, visit.on, '16:30');
        return {
          what: 'visit',
          at,
          ...about,
          visit: { kind: visit.kind, doneOn: visit.on, ...work },
        };
      }),
    ...plannedVisits(car, setting),
    ...entriesOf(car, {
      zone: owner.timeZone ?? zone,
      now,
      from: joinedOn,
      chance: chanceOf(`${car.registration} log`),
    }).map(({ entry, recordedAt, withdrawn }): Happening => ({
      what: 'position',
      at: recordedAt,
      ...about,
      entry,
      withdrawn,
    })),
  ];
}

function plannedVisits(
  { registration: car, booked, missed }: SeedCar,
  setting: Setting,
): Happening[] {
  const { kind, timeZone: zone } = setting.house.organisation;
  const today = dayIn(zone, setting.now);
  const chance = chanceOf(`${car} diary`);
  const rung = instantAt(zone, addDays(today, -chance.whole(2, 5)), '11:15');
  const happenings: Happening[] = [];
  if (booked !== undefined) {
    const plannedOn = openFrom(kind, addDays(today, chance.whole(...booked.in)));
    happenings.push({ what: 'visit', at: rung, car, visit: { kind: booked.kind, plannedOn } });
  }
  if (missed !== undefined) {
    const plannedOn = openFrom(kind, addDays(today, -chance.whole(...missed)));
    const noShowAt = instantAt(zone, plannedOn, '17:00');
    const visit = { kind: 'lubrication', plannedOn } as const;
    happenings.push(
      { what: 'visit', at: addMinutes(noShowAt, -14 * 24 * 60), car, visit },
      { what: 'no-show', at: noShowAt, car },
    );
  }
  return happenings;
}

function pivotsOf(car: SeedCar, house: SeedHouse): readonly PatternPivot[] {
  const own = patternsOf(house).find(({ name }) => name === car.frame);
  const pattern = own ?? framePatternNamed(car.frame);
  if (pattern === undefined) throw new Error(`${car.registration}: no frame ${car.frame}`);
  return pattern.pivots;
}

/** Terms as sellers and fitters commonly promise them; a club promises nothing. */
function usualWarranties({ cover, window }: SeedCar, kind: SeedHouse['organisation']['kind']) {
  if (kind !== 'shop') return [];
  return [
    { part: 'cover', months: cover === 'cloth' ? 72 : 60 },
    { part: 'workmanship', months: 18 },
    ...(window === 'glass-bonded' ? [{ part: 'glass-bond', months: 60 }] : []),
  ];
}
