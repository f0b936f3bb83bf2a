import { describe, expect, it } from 'vitest';
import { dayIn } from '../../src/domain/calendar/zone.ts';
import { FAULTS } from '../../src/domain/faults/fault-rows.ts';
import { PLACES, SALTS, USES } from '../../src/domain/lubrication/keeping.ts';
import { FRAME_PATTERNS } from '../../src/domain/pivots/frame-patterns.ts';
import { chanceOf } from '../../src/usecases/scenario/scenario-chance.ts';
import { planScenario } from '../../src/usecases/scenario/scenario-plan.ts';
import { readSeeds } from '../../src/usecases/scenario/scenario-seeds.ts';

const SEEDS = readSeeds();
const NOWS = [
  '2028-02-29T10:00:00.000Z',
  '2026-12-31T23:30:00.000Z',
  '2026-07-15T12:00:00.000Z',
  '2027-03-28T01:00:00.000Z',
  '2029-01-01T00:00:00.000Z',
];
const owners = SEEDS.organisations.flatMap((seed) => seed.owners);
const cars = owners.flatMap((owner) => owner.cars);

describe('the seeds', () => {
  it('name nobody real: reserved domains and telephone numbers', () => {
    // Example domains: RFC 2606 section 3.
    const addresses = [
      ...owners.map(({ email }) => email),
      ...SEEDS.organisations
        .map(({ organisation }) => organisation.email)
        .filter((one) => one !== null),
    ];
    for (const address of addresses)
      expect(address).toMatch(/^[a-z.-]+@([a-z]+\.)?example\.(org|com|net)$/);
    // Numbers kept free for drama: 01632 960xxx (Ofcom), 030 23125xxx (Bundesnetzagentur), from memory.
    const phones = [...owners, ...SEEDS.organisations.map(({ organisation }) => organisation)]
      .map(({ phone }) => phone)
      .filter((phone) => phone !== null && phone !== undefined);
    for (const phone of phones) expect(phone).toMatch(/^(01632 960\d{3}|030 23125 \d{3})$/);
    for (const { registration } of cars) expect(registration).toMatch(/^DEMO \d{3}$/);
  });

  it('tell owners and cars apart', () => {
    expect(new Set(owners.map(({ email }) => email)).size).toBe(owners.length);
    expect(new Set(cars.map(({ registration }) => registration)).size).toBe(cars.length);
    expect(
      SEEDS.organisations.map((seed) => seed.owners.flatMap((owner) => owner.cars).length),
    ).toEqual([43, 24, 1]);
  });

  it('have every material, window, frame, keeping and outcome', () => {
    const seen = (key: 'cover' | 'window' | 'place' | 'salt' | 'use' | 'frame') =>
      new Set<string>(cars.map((car) => car[key]));
    expect(seen('cover')).toEqual(new Set(['vinyl', 'cloth']));
    expect(seen('window')).toEqual(new Set(['glass', 'glass-bonded', 'clear-vinyl']));
    expect(seen('place')).toEqual(new Set(PLACES));
    expect(seen('salt')).toEqual(new Set(SALTS));
    expect(seen('use')).toEqual(new Set(USES));
    expect(seen('frame')).toEqual(new Set([...Object.keys(FRAME_PATTERNS), 'larkmoor-three-bow']));
    const outcomes = cars.flatMap((car) => (car.findings ?? []).map(({ outcome }) => outcome));
    expect(new Set(outcomes)).toEqual(new Set(['advised', 'accepted', 'declined', 'done']));
  });

  it('call cars by makes that nobody ever built', () => {
    // Invented for this scenario: a name enters here only after somebody made it up.
    const invented = ['Marlspike', 'Oddlestone', 'Pellamore', 'Quillwick', 'Tattersand', 'Vennaby'];
    expect([...new Set(cars.map(({ carWords }) => carWords.make))].sort()).toEqual(invented);
  });

  it('speak of faults that fault finding knows', () => {
    const known = new Set(FAULTS.map(({ id }) => id));
    for (const fault of Object.keys(SEEDS.findings)) expect(known).toContain(fault);
  });
});

describe.each(NOWS)('the story up to %s', (now) => {
  const stories = planScenario(SEEDS, now);
  const all = stories.flatMap(({ happenings }) => happenings);

  it('is the same every time', () => {
    expect(planScenario(SEEDS, now)).toEqual(stories);
  });

  it('is in order, and none of it is still to come', () => {
    for (const { startedAt, happenings } of stories) {
      const instants = [startedAt, ...happenings.map(({ at }) => at), now];
      expect(instants).toEqual([...instants].sort());
    }
  });

  it('has visits done before today and booked after it', () => {
    const today = dayIn('Europe/London', now);
    const visits = all.filter((one) => one.what === 'visit').map(({ visit }) => visit);
    const done = visits.flatMap(({ doneOn }) => doneOn ?? []);
    expect(done.length).toBeGreaterThan(120);
    for (const day of done) expect(day < today).toBe(true);
    expect(visits.filter(({ plannedOn = '' }) => plannedOn > today)).toHaveLength(4);
  });

  it('calls every car, and the top that is on it, by the words of the seeds', () => {
    const onIt = new Map(all.flatMap((one) => (one.what === 'top' ? [[one.car, one.top]] : [])));
    for (const { registration, carWords, topWords } of cars) {
      const told = all.find((one) => one.what === 'car' && one.car.registration === registration);
      expect(told).toMatchObject({ car: carWords });
      const top = onIt.get(registration);
      expect(top).toMatchObject(topWords);
      expect(`${carWords.year}` < (top?.fittedOn ?? '')).toBe(true);
    }
  });

  it('has readings that a hand could have taken', () => {
    const readings = all.flatMap((one) => (one.what === 'visit' ? (one.visit.readings ?? []) : []));
    const play = readings.flatMap(({ axialPlayMm }) => axialPlayMm ?? []);
    expect(Math.min(...play)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...play)).toBeLessThan(4);
    const states = new Set(readings.map(({ state }) => state));
    expect(states).toEqual(new Set(['free', 'dry', 'stiff', 'loose', 'oval', 'seized', 'sheared']));
  });

  it('lets play grow at the pivot that the seeds say is wearing', () => {
    const play = all.flatMap((one) =>
      one.what === 'visit' && one.car === 'DEMO 112'
        ? (one.visit.readings ?? []).filter(({ pivot }) => pivot === 'L-MAIN')
        : [],
    );
    const series = play.flatMap(({ axialPlayMm }) => axialPlayMm ?? []);
    expect(series.length).toBeGreaterThanOrEqual(3);
    // A tenth of a millimetre a year, less the error of the blades at both ends.
    expect((series.at(-1) ?? 0) - (series[0] ?? 0)).toBeGreaterThan(
      0.1 * (series.length - 1) - 0.1,
    );
  });
});

describe('chance', () => {
  it('depends on the name alone', () => {
    const draw = (name: string) => Array.from({ length: 20 }, chanceOf(name).next);
    expect(draw('a')).toEqual(draw('a'));
    expect(draw('a')).not.toEqual(draw('b'));
  });

  it('keeps its bounds and favours no part of them', () => {
    const chance = chanceOf('fair');
    const rolls = Array.from({ length: 6000 }, () => chance.whole(1, 6));
    for (const face of [1, 2, 3, 4, 5, 6]) {
      // 1000 expected, standard deviation 29.
      expect(Math.abs(rolls.filter((roll) => roll === face).length - 1000)).toBeLessThan(120);
    }
    const errors = Array.from({ length: 6000 }, () => chance.error(0.05));
    expect(Math.max(...errors.map(Math.abs))).toBeLessThan(0.05);
    expect(Math.abs(errors.reduce((a, b) => a + b, 0) / 6000)).toBeLessThan(0.001);
  });
});
