import { FREE_TO_MOVE } from '../../../src/domain/may-move/move-verdict.ts';
import fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, it } from 'vitest';
import { ADVICE } from '../../../src/domain/advice/advice-rows.ts';
import { addDays, addMonths, daysBetween, dueDay } from '../../../src/domain/calendar/day.ts';
import { dayIn, instantAt } from '../../../src/domain/calendar/zone.ts';
import type { OrganisationKind } from '../../../src/domain/organisation-kind.ts';
import type { CarFacts, TopFacts } from '../../../src/domain/round/car-facts.ts';
import { forecastFor } from '../../../src/domain/round/forecast.ts';
import { lettersOwed } from '../../../src/domain/round/letters-owed.ts';
import { LETTER_KINDS } from '../../../src/domain/round/letter-kind.ts';
import { nextLook } from '../../../src/domain/round/next-look.ts';
import { careOccasions, occasionsOwed } from '../../../src/domain/round/occasions.ts';
import { runs } from '../../setup/runs.ts';

const TOP: TopFacts = {
  id: 't1',
  fittedOn: '2025-06-12',
  lastOn: null,
  intervalMonths: 12,
  because: ['12 months'],
  dueOn: '2026-06-12',
  material: 'cloth',
  window: 'glass',
  powered: false,
  warranties: [],
  booked: false,
  lookAfterOn: null,
  lookBookedBy: null,
};

function carWith(
  top: Partial<TopFacts> | null = {},
  change: Partial<Omit<CarFacts, 'owner' | 'organisation' | 'top'>> = {},
  owner: Partial<CarFacts['owner']> = {},
  organisation: Partial<CarFacts['organisation']> = {},
): CarFacts {
  return {
    id: 'c1',
    registration: 'FK 1',
    timeZone: 'Europe/London',
    foldedLimitDays: 3,
    keeping: { place: 'outdoors', salt: 'none', use: 'summer' },
    entries: [],
    events: [],
    lookAt: null,
    mayMove: FREE_TO_MOVE,
    foldFloor: null,
    ...change,
    top: top === null ? null : { ...TOP, ...top },
    owner: {
      id: 'o1',
      name: 'Ada Quill',
      email: 'ada@example.org',
      addressHash: 'h',
      timeZone: 'Europe/London',
      language: 'en',
      refusedTopics: [],
      unreachable: false,
      lastCareOn: null,
      lastAlarmOn: null,
      lastLetterOn: null,
      adviceSent: [],
      staysTold: [],
      ...owner,
    },
    organisation: {
      id: 'g1',
      name: 'Elmyard Soft Tops',
      kind: 'shop',
      postalAddress: null,
      phone: null,
      email: null,
      letterHours: [8, 20],
      nightAlarms: false,
      ...organisation,
    },
  };
}

const kindsOn = (car: CarFacts, day: string) =>
  occasionsOwed(car, instantAt('Europe/London', day, '12:00')).map(
    ({ kind, key }) => `${kind} ${key.split(':').at(-1) ?? ''}`,
  );

describe('lubrication letters (days before and after: shop rules)', () => {
  it.each([
    ['2026-05-14', []],
    ['2026-05-15', ['lubrication-ahead 2026-06-12']],
    ['2026-06-11', ['lubrication-ahead 2026-06-12']],
    ['2026-06-12', ['lubrication-due 2026-06-12']],
    ['2026-07-02', ['lubrication-due 2026-06-12']],
    ['2026-07-03', ['lubrication-late 1']],
    ['2026-08-10', ['lubrication-late 1']],
    ['2026-08-11', ['lubrication-late 2']],
    ['2026-09-09', ['lubrication-late 2']],
    ['2026-09-10', []],
  ])('on %s: %j', (day, expected) => {
    expect(kindsOn(carWith(), day)).toEqual(expected);
  });

  it('are not written once a visit is booked', () => {
    expect(kindsOn(carWith({ booked: true }), '2026-06-12')).toEqual([]);
  });
});

describe('letters about a second look (four to eight weeks: shop rule)', () => {
  const stiff = { dueOn: '2027-03-02', lookAfterOn: '2026-03-02' };
  const on = (day: string, top: Partial<TopFacts> = {}, change: Partial<CarFacts> = {}) =>
    kindsOn(carWith({ ...stiff, ...top }, change), day);

  it.each([
    ['2026-03-29', []],
    ['2026-03-30', ['look-due 2026-03-02']],
    ['2026-05-03', ['look-due 2026-03-02']],
    ['2026-05-04', ['look-late 2026-03-02']],
    ['2026-05-25', ['look-late 2026-03-02']],
    ['2026-05-26', []],
  ])('on %s: %j', (day, expected) => {
    expect(on(day)).toEqual(expected);
  });

  it('are not written once a look, or anything within its window, is booked', () => {
    expect(on('2026-04-10', { lookBookedBy: '2026-03-02' })).toEqual([]);
    expect(on('2026-04-10', { lookBookedBy: '2026-04-27' })).toEqual([]);
    expect(on('2026-04-10', { lookBookedBy: '2026-04-28' })).toHaveLength(1);
  });

  it('are not written about a top that must stay, nor where the oiling comes by then', () => {
    const mayMove = { ...FREE_TO_MOVE, verdict: 'leave' as const };
    expect(on('2026-04-10', {}, { mayMove })).toEqual([]);
    expect(on('2026-04-10', { dueOn: '2026-04-20' }).map((key) => key.slice(0, 4))).toEqual([
      'lubr',
    ]);
  });

  it('are forecast once, the look being taken as done in time', () => {
    const kinds = forecastFor([carWith(stiff)], [], '2026-03-03T09:00:00.000Z', '2026-12-31')
      .filter(({ kind }) => kind.startsWith('look-'))
      .map(({ kind, on: day }) => `${kind} ${day}`);
    expect(kinds).toEqual(['look-due 2026-03-30']);
  });
});

describe('a private owner', () => {
  const own = (change: Partial<TopFacts> = {}) => carWith(change, {}, {}, { kind: 'private' });
  const keys = (car: CarFacts, day: string) =>
    occasionsOwed(car, `${day}T12:00:00.000Z`).map(({ key }) => key);

  it('hears of oil that is years late, each half-year, for nobody rings', () => {
    const car = own({ dueOn: '2023-06-01' });
    expect(keys(car, '2026-06-12')).toHaveLength(1);
    expect(keys(car, '2026-06-12')[0]).toMatch(/^lubrication-late:.*:2023-06-01:7$/);
    const days = Array.from({ length: 365 }, (_, i) => addDays('2026-06-12', i));
    expect(new Set(days.flatMap((day) => keys(car, day))).size).toBe(3);
    expect(keys(carWith({ dueOn: '2023-06-01' }), '2026-06-12')).toEqual([]);
  });

  it('is told nothing of a day to agree on with herself', () => {
    const ids = (car: CarFacts) =>
      careOccasions(car, '2026-02-10').map(({ key }) => key.split(':')[2]);
    const quiet = { fittedOn: '2024-03-10', dueOn: '2026-09-10' };
    expect(ids(carWith(quiet))).toContain('february-book-now');
    expect(ids(own(quiet))).not.toContain('february-book-now');
  });
});

describe('oil and the note of March', () => {
  // All else was said lately, so that the rows of March have room.
  const others = ADVICE.flatMap(({ id }) =>
    id.startsWith('march-') ? [] : [{ adviceId: id, topId: 't1', on: '2027-01-01' }],
  );
  const keysOn = (day: string, dueOn: string, adviceSent = others) =>
    lettersOwed(
      [carWith({ fittedOn: '2024-03-10', dueOn }, {}, { adviceSent })],
      new Set(),
      `${day}T12:00:00.000Z`,
    ).map(({ kind, occasions }) => [kind, ...occasions.map(({ key }) => key.split(':')[2])]);

  it.each(['2027-03-28', '2027-03-10', '2027-02-10', '2026-12-31'])(
    'is not asked for twice in one letter where it is due on %s, but drains are',
    (dueOn) => {
      const [[kind, , ...notes] = []] = keysOn('2027-03-10', dueOn);
      expect(kind).toMatch(/^lubrication-(?:ahead|due|late)$/);
      expect(notes).toEqual(['march-drains']);
    },
  );

  it('is asked for by the note alone until the reminders begin', () => {
    expect(keysOn('2027-03-10', '2027-04-08')).toEqual([['care-note', 'march-oil-and-drains']]);
  });

  it('says nothing of drains again where the note that asked for oil spoke of them', () => {
    const said = { adviceId: 'march-oil-and-drains', topId: 't1', on: '2027-03-01' };
    expect(keysOn('2027-03-25', '2027-04-08', [...others, said])).toEqual([
      ['lubrication-ahead', '2027-04-08'],
    ]);
  });
});

describe('the warranty letter', () => {
  it('comes 60 days before a part ends and not after', () => {
    const car = carWith({ warranties: [{ part: 'seams', months: 13 }], dueOn: '2030-01-01' });
    const end = addMonths(TOP.fittedOn, 13);
    expect(kindsOn(car, addDays(end, -61))).toEqual([]);
    expect(kindsOn(car, addDays(end, -60))).toEqual([`warranty-ending ${end}`]);
    expect(kindsOn(car, addDays(end, -1))).toEqual([`warranty-ending ${end}`]);
    expect(kindsOn(car, end)).toEqual([]);
  });
});

describe('folded letters', () => {
  const folded = (at: string, more: CarFacts['entries'] = []) =>
    carWith(null, { entries: [{ position: 'folded', at }, ...more] });
  const owed = (car: CarFacts, at: string) => occasionsOwed(car, at).map(({ kind }) => kind);

  // 71 and 73 real hours over the clock changes of Europe/London (computed with @js-temporal/polyfill).
  it.each([
    ['2026-03-28T18:00:00.000Z', '2026-03-30T16:59:59.999Z', []],
    ['2026-03-28T18:00:00.000Z', '2026-03-30T17:00:00.000Z', ['folded-nearing']],
    ['2026-03-28T18:00:00.000Z', '2026-03-31T17:00:00.000Z', ['folded-over']],
    ['2026-10-24T17:00:00.000Z', '2026-10-27T17:59:59.999Z', ['folded-nearing']],
    ['2026-10-24T17:00:00.000Z', '2026-10-27T18:00:00.000Z', ['folded-over']],
    ['2026-03-28T18:00:00.000Z', '2026-04-07T17:00:00.000Z', ['folded-still']],
  ])('folded at %s, seen at %s: %j', (at, seen, expected) => {
    expect(owed(folded(at), seen)).toEqual(expected);
  });

  it('ask for nothing while the top is raised or under the hard top', () => {
    const at = '2026-06-20T12:00:00.000Z';
    const raised = folded('2026-06-01T12:00:00.000Z', [
      { position: 'raised', at: '2026-06-20T11:00:00.000Z' },
    ]);
    const stored = folded('2026-06-01T12:00:00.000Z', [
      { position: 'folded-under-hard-top', at: '2026-06-02T12:00:00.000Z' },
    ]);
    expect(owed(raised, at)).toEqual([]);
    expect(owed(stored, at)).toEqual([]);
  });
});

describe('letters owed to an owner', () => {
  const noon = '2026-06-12T11:00:00.000Z';
  const entries = [{ position: 'folded' as const, at: '2026-06-08T11:00:00.000Z' }];

  it('are an alarm by itself and one for all the rest, for all cars together', () => {
    const cars = [carWith({}, { entries }), { ...carWith({ id: 't2' }, { entries }), id: 'c2' }];
    const letters = lettersOwed(cars, new Set(), noon);
    expect(letters.map(({ kind, occasions }) => [kind, occasions.length])).toEqual([
      ['folded-over', 2],
      ['lubrication-due', 2],
    ]);
  });

  it('leave out what the owner refused, what was said, and owners who cannot be reached', () => {
    const car = carWith({}, { entries }, { refusedTopics: ['folded-limit'] });
    expect(lettersOwed([car], new Set(), noon).map(({ kind }) => kind)).not.toContain(
      'folded-over',
    );
    const said = new Set(occasionsOwed(car, noon).map(({ key }) => key));
    expect(lettersOwed([car], said, noon).map(({ kind }) => kind)).toEqual(['care-note']);
    expect(lettersOwed([carWith({}, { entries }, { unreachable: true })], new Set(), noon)).toEqual(
      [],
    );
  });

  it('share one letter a day, whose main deed is the most pressing', () => {
    const late = carWith({ dueOn: '2026-05-01' });
    const soon = {
      ...carWith({
        id: 't2',
        dueOn: '2026-07-01',
        warranties: [{ part: 'stitching', months: 13 }],
        offers: [{ id: 'f1', kind: 'lubrication', weeks: ['2026-W20', '2026-W27'] }],
      }),
      id: 'c2',
    };
    const [letter, ...others] = lettersOwed([late, soon], new Set(), noon);
    expect(others).toEqual([]);
    expect(letter?.kind).toBe('lubrication-late');
    const kinds = letter?.occasions.map(({ kind }) => kind) ?? [];
    expect(new Set(kinds)).toEqual(
      new Set([
        'lubrication-late',
        'lubrication-ahead',
        'visit-offered',
        'warranty-ending',
        'care-note',
      ]),
    );
    // Each is known by its own key, so that none is said again.
    const said = new Set(letter?.occasions.map(({ key }) => key));
    expect(lettersOwed([late, soon], said, noon).flatMap(({ occasions }) => occasions)).toEqual([]);
  });

  it('wait where the letter of the day has left or waits to', () => {
    const after = (lastLetterOn: string | null) =>
      lettersOwed([carWith({}, { entries }, { lastLetterOn })], new Set(), noon).map(
        ({ kind }) => kind,
      );
    expect(after('2026-06-11')).toEqual(['folded-over', 'lubrication-due']);
    expect(after('2026-06-12')).toEqual(['folded-over']);
    const waiting = carWith({}, {}, { lastLetterOn: '2026-06-12' });
    expect(nextLook(waiting, noon)).toBe(instantAt('Europe/London', '2026-06-13', '00:00'));
  });

  it('pause care for 21 days after a note', () => {
    const note = (lastCareOn: string | null) =>
      lettersOwed([carWith({ dueOn: '2030-01-01' }, {}, { lastCareOn })], new Set(), noon).some(
        ({ kind }) => kind === 'care-note',
      );
    expect(note(null)).toBe(true);
    expect(note('2026-05-23')).toBe(false);
    expect(note('2026-05-22')).toBe(true);
  });

  it('keep care off the day of an alarm, whenever that was said, and look again after it', () => {
    const after = (lastAlarmOn: string | null) =>
      carWith({ dueOn: '2030-01-01' }, {}, { lastAlarmOn });
    const cares = (car: CarFacts) =>
      lettersOwed([car], new Set(), noon).some(({ kind }) => kind === 'care-note');
    expect([null, '2026-06-11', '2026-06-12', '2026-06-13'].map(after).map(cares)).toEqual([
      true,
      true,
      false,
      false,
    ]);
    expect(nextLook(after('2026-06-13'), noon)?.slice(0, 10)).toBe('2026-06-13');
    expect(nextLook(after('2026-06-12'), noon)?.slice(0, 10)).toBe('2026-06-12');
  });

  it('leave in the hours of the owner, whatever the zone and the clock change', () => {
    const zones = fc.constantFrom(
      'Europe/London',
      'America/New_York',
      'Australia/Lord_Howe',
      'Asia/Kathmandu',
    );
    fc.assert(
      fc.property(
        zones,
        fc.integer({ min: Date.UTC(2026, 0, 1), max: Date.UTC(2027, 0, 1) }),
        (timeZone, ms) => {
          const at = new Date(ms).toISOString();
          const car = carWith({ dueOn: dayIn(timeZone, at) }, {}, { timeZone });
          for (const { notBefore } of lettersOwed([car], new Set(), at)) {
            expect(notBefore >= at).toBe(true);
            const { hour } = Temporal.Instant.from(notBefore).toZonedDateTimeISO(timeZone);
            expect(hour).toBeGreaterThanOrEqual(8);
            expect(hour).toBeLessThan(20);
          }
        },
      ),
      { numRuns: runs(200) },
    );
  });

  it('may alarm at night where the organisation allows it', () => {
    const night = '2026-06-12T02:00:00.000Z';
    const alarm = (nightAlarms: boolean) =>
      lettersOwed([carWith(null, { entries }, {}, { nightAlarms })], new Set(), night)[0]
        ?.notBefore;
    expect(alarm(false)).toBe('2026-06-12T07:00:00.000Z');
    expect(alarm(true)).toBe(night);
  });
});

describe('the next look', () => {
  it('misses nothing: between two looks no new occasion becomes true', () => {
    const day = fc.integer({ min: 0, max: 900 });
    fc.assert(
      fc.property(
        day,
        fc.array(fc.tuple(fc.integer({ min: 0, max: 60 * 24 }), fc.boolean()), { maxLength: 4 }),
        fc.integer({ min: 2, max: 30 }),
        fc.option(fc.integer({ min: 0, max: 120 })),
        fc.constantFrom<OrganisationKind>('shop', 'private'),
        fc.option(fc.integer({ min: 0, max: 60 * 24 })),
        (fittedBefore, log, months, lookBefore, kind, ownedFor) => {
          const start = '2026-03-20T12:00:00.000Z';
          const fittedOn = addDays('2026-03-20', -fittedBefore);
          const car = carWith(
            {
              fittedOn,
              dueOn: dueDay(fittedOn, 12, 1),
              warranties: [{ part: 'seams', months }],
              lookAfterOn: lookBefore === null ? null : addDays('2026-03-20', -lookBefore),
            },
            {
              entries: log.map(([hours, folded]) => ({
                position: folded ? ('folded' as const) : ('raised' as const),
                at: new Date(Date.parse(start) - hours * 3_600_000).toISOString(),
              })),
              ...(ownedFor === null
                ? {}
                : { ownerSince: new Date(Date.parse(start) - ownedFor * 3_600_000).toISOString() }),
            },
            {},
            { kind },
          );
          const known = new Set(occasionsOwed(car, start).map(({ key }) => key));
          const next = nextLook(car, start);
          // Hour by hour for forty days, strictly before the next look.
          for (let h = 1; h < 24 * 40; h++) {
            const at = new Date(Date.parse(start) + h * 3_600_000).toISOString();
            if (next !== null && at >= next) break;
            for (const { key } of occasionsOwed(car, at)) expect(known).toContain(key);
          }
        },
      ),
      { numRuns: runs(60) },
    );
  });
});

describe('the forecast', () => {
  it('holds the due days of an anchor on 29 February (RFC 7529, SKIP=BACKWARD)', () => {
    const car = carWith({ fittedOn: '2024-02-29', dueOn: '2025-02-28' });
    const items = forecastFor([car], [], '2024-03-01T09:00:00.000Z', '2029-01-01');
    const due = items.filter(({ kind }) => kind === 'lubrication-due').map(({ on }) => on);
    expect(due).toEqual(['2025-02-28', '2026-02-28', '2027-02-28', '2028-02-29']);
    const ahead = items.filter(({ kind }) => kind === 'lubrication-ahead').map(({ on }) => on);
    expect(ahead).toEqual(due.map((day) => addDays(day, -28)));
  });

  it('says nothing twice and keeps care 21 days apart', () => {
    const items = forecastFor([carWith()], [], '2026-01-01T09:00:00.000Z', '2028-01-01');
    expect(new Set(items.map((item) => JSON.stringify(item))).size).toBe(items.length);
    const care = items.filter(({ kind }) => kind === 'care-note').map(({ on }) => on);
    expect(care.length).toBeGreaterThan(5);
    const gaps = care.slice(1).map((on, i) => daysBetween(care[i] ?? on, on));
    expect(Math.min(...gaps)).toBeGreaterThanOrEqual(21);
    for (const { kind } of items) expect(LETTER_KINDS).toContain(kind);
  });
});

describe('that a top must stay', () => {
  const leave = (change: Partial<CarFacts['mayMove']> = {}) => ({
    mayMove: { ...FREE_TO_MOVE, verdict: 'leave' as const, ...change },
    staysSince: '2026-03-02',
  });
  const NOON = '2026-03-03T12:00:00.000Z';
  const quiet = { dueOn: '2027-01-01' };
  const kinds = (cars: CarFacts[], said: ReadonlySet<string> = new Set(), at = NOON) =>
    lettersOwed(cars, said, at).map(({ kind, occasions }) => [
      kind,
      ...occasions.map(({ kind: one, carId }) => `${one} ${carId}`),
    ]);

  it('is written by itself, where nothing else is due', () => {
    expect(kinds([carWith(quiet, leave())])).toEqual([['must-stay', 'must-stay c1']]);
    expect(kinds([carWith(quiet, { staysSince: '2026-03-02' })])).not.toContainEqual([
      'must-stay',
      'must-stay c1',
    ]);
  });

  it('waits for no day, cannot be refused, and goes in the hours', () => {
    const owner = {
      lastLetterOn: '2026-03-03',
      refusedTopics: ['reminders', 'folded-limit', 'care-notes', 'offers'] as const,
    };
    expect(kinds([carWith(quiet, leave(), owner)])).toEqual([['must-stay', 'must-stay c1']]);
    const [night] = lettersOwed(
      [carWith(quiet, leave(), {}, { nightAlarms: true })],
      new Set(),
      '2026-03-03T23:30:00.000Z',
    );
    expect(night?.notBefore).toBe('2026-03-04T08:00:00.000Z');
    expect(kinds([carWith(quiet, leave(), { unreachable: true })])).toEqual([]);
  });

  it('is one letter for all cars of an owner', () => {
    const cars = ['c1', 'c2'].map((id) =>
      carWith({ ...quiet, id: `top of ${id}` }, { ...leave(), id }),
    );
    expect(kinds(cars)).toEqual([['must-stay', 'must-stay c1', 'must-stay c2']]);
  });

  it('is left to whatever letter about the top is due and says so first', () => {
    expect(kinds([carWith({ dueOn: '2026-03-20' }, leave())])).toEqual([
      ['lubrication-ahead', 'lubrication-ahead c1'],
    ]);
    const entries = [{ position: 'folded' as const, at: '2026-02-20T08:00:00.000Z' }];
    expect(kinds([carWith(quiet, { ...leave(), entries })])).toEqual([
      ['folded-still', 'folded-still c1'],
    ]);
  });

  it('takes the oil along where that would have to wait for another day', () => {
    const owner = { lastLetterOn: '2026-03-03' };
    expect(kinds([carWith({ dueOn: '2026-03-20' }, leave(), owner)])).toEqual([
      ['must-stay', 'must-stay c1', 'lubrication-ahead c1'],
    ]);
  });

  it('is not said again by the same key, nor once another letter has said so since', () => {
    const car = carWith(quiet, leave());
    const keys = occasionsOwed(car, NOON).map(({ key }) => key);
    expect(keys).toEqual(['must-stay:t1:o1:2026-03-02:stay']);
    expect(kinds([car], new Set(keys))).toEqual([]);
    // A booking has a letter of its own.
    const booked = carWith(quiet, leave({ repairOn: '2026-03-20' }));
    expect(kinds([booked], new Set(keys))).toEqual([]);
    const told = (carId: string, on: string) =>
      kinds([carWith(quiet, leave(), { staysTold: [{ carId, on }] })]).length;
    expect(told('c1', '2026-03-02')).toBe(0);
    expect(told('c1', '2026-03-01')).toBe(1);
    expect(told('c2', '2026-03-03')).toBe(1);
  });

  it('holds care back on its day, and leaves the other cars their letters', () => {
    const other = carWith({ id: 't2', dueOn: '2026-03-20' }, { id: 'c2' });
    const cars = [carWith(quiet, leave()), other];
    expect(kinds(cars)).toEqual([
      ['must-stay', 'must-stay c1'],
      ['lubrication-ahead', 'lubrication-ahead c2'],
    ]);
  });

  it('is foreseen once', () => {
    const foreseen = forecastFor([carWith(quiet, leave())], [], NOON, '2026-12-31');
    expect(foreseen.filter(({ kind }) => kind === 'must-stay')).toEqual([
      { kind: 'must-stay', ownerId: 'o1', carIds: ['c1'], on: '2026-03-03' },
    ]);
  });
});
