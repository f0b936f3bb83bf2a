import type { Day } from '../../domain/calendar/day.ts';
import { addDays } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { addMinutes } from '../../domain/calendar/instant.ts';
import { dayIn, instantAt } from '../../domain/calendar/zone.ts';
import type { PatternPivot } from '../../domain/pivots/frame-patterns.ts';
import { framePatternNamed } from '../../domain/pivots/frame-patterns.ts';
import { chanceOf } from './scenario-chance.ts';
import { openFrom } from './scenario-days.ts';
import type { Happening } from './scenario-happening.ts';
import type { History } from './scenario-history.ts';
import { historyOf, keepingOf } from './scenario-history.ts';
import { entriesOf } from './scenario-positions.ts';
import { workOf } from './scenario-readings.ts';
import type { SeedCar, SeedOrganisation, SeedOwner, Seeds } from './scenario-seeds.ts';

/** What the story of every car of an organisation is told from. */
export interface Setting {
  readonly seed: SeedOrganisation;
  readonly findings: Seeds['findings'];
  readonly now: Instant;
  readonly startedOn: Day;
  /** The care day that a car came to, by registration. */
  readonly careDayOf: ReadonlyMap<string, Day>;
}

export interface CarDays {
  readonly car: SeedCar;
  readonly history: History;
  /** Since when the car is in these records: its top may be older. */
  readonly joinedOn: Day;
}

/** The days of a car's life, and since when it is in the records. */
export function carDays(
  car: SeedCar,
  { seed, startedOn, careDayOf }: Setting,
  today: Day,
): Omit<CarDays, 'car'> {
  const { kind } = seed.organisation;
  const chance = chanceOf(car.registration);
  const history = historyOf(car, {
    kind,
    today,
    chance,
    careDay: careDayOf.get(car.registration) ?? null,
  });
  const first = addDays(startedOn, chance.whole(1, 60));
  return { history, joinedOn: history.fittedOn > first ? history.fittedOn : first };
}

/** All that was recorded about one car, in no order. */
export function carStory(
  owner: SeedOwner,
  { car, history, joinedOn }: CarDays,
  setting: Setting,
): Happening[] {
  const { seed, findings, now } = setting;
  const zone = seed.organisation.timeZone;
  const { kind } = seed.organisation;
  const { fittedOn, recoveredOn } = history;
  const pivots = pivotsOf(car, seed);
  const about = { car: car.registration };
  const top = (on: Day, material: SeedCar['cover'], words?: SeedCar['topWords']): Happening => ({
    what: 'top',
    at: instantAt(zone, on > joinedOn ? on : joinedOn, '15:00'),
    ...about,
    top: {
      fittedOn: on,
      framePattern: car.frame,
      cover: { material },
      window: car.window,
      ...words,
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
        ...car.carWords,
        handbook: { foldedLimitDays: car.limitDays, foldFloorCelsius: car.floor },
        keeping: keepingOf(car),
      },
    },
    // Nobody wrote down what an earlier cover was called.
    ...(recoveredOn === null
      ? [top(fittedOn, car.cover, car.topWords)]
      : [top(fittedOn, car.oldCover ?? car.cover), top(recoveredOn, car.cover, car.topWords)]),
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
          tell: false,
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
  const { kind, timeZone: zone } = setting.seed.organisation;
  const today = dayIn(zone, setting.now);
  const chance = chanceOf(`${car} diary`);
  const happenings: Happening[] = [];
  if (booked !== undefined) {
    const plannedOn = openFrom(kind, addDays(today, chance.whole(...booked.in)));
    const visit = { kind: booked.kind, plannedOn };
    // Booked this minute, so the letter about it is one of today's.
    happenings.push({ what: 'visit', at: setting.now, car, visit, tell: true });
  }
  if (missed !== undefined) {
    const plannedOn = openFrom(kind, addDays(today, -chance.whole(...missed)));
    const noShowAt = instantAt(zone, plannedOn, '17:00');
    const visit = { kind: 'lubrication', plannedOn } as const;
    happenings.push(
      { what: 'visit', at: addMinutes(noShowAt, -14 * 24 * 60), car, visit, tell: false },
      { what: 'no-show', at: noShowAt, car },
    );
  }
  return happenings;
}

/** The frame patterns that an organisation drew itself, both sides. */
export function patternsOf(seed: SeedOrganisation): { name: string; pivots: PatternPivot[] }[] {
  return seed.framePatterns.map(({ name, joints }) => ({
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

function pivotsOf(car: SeedCar, seed: SeedOrganisation): readonly PatternPivot[] {
  const own = patternsOf(seed).find(({ name }) => name === car.frame);
  const pattern = own ?? framePatternNamed(car.frame);
  if (pattern === undefined) throw new Error(`${car.registration}: no frame ${car.frame}`);
  return pattern.pivots;
}

/** Terms as sellers and fitters commonly promise them; a club promises nothing. */
function usualWarranties(
  { cover, window }: SeedCar,
  kind: SeedOrganisation['organisation']['kind'],
) {
  if (kind !== 'shop') return [];
  return [
    { part: 'cover', months: cover === 'cloth' ? 72 : 60 },
    { part: 'workmanship', months: 18 },
    ...(window === 'glass-bonded' ? [{ part: 'glass-bond', months: 60 }] : []),
  ];
}
