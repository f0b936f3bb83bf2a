import { readFileSync } from 'node:fs';
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ADVICE_FIGURES } from '../../../src/domain/advice/advice-figures.ts';
import { ADVICE, adviceOf } from '../../../src/domain/advice/advice-rows.ts';
import type { AdviceEvent, AdviceFacts } from '../../../src/domain/advice/advice.ts';
import { careAdvice, nextAdviceDay } from '../../../src/domain/advice/choose.ts';
import { addDays, addMonths, type Day } from '../../../src/domain/calendar/day.ts';
import { valuesOf } from '../../../src/domain/figures/figure.ts';
import { runs } from '../../setup/runs.ts';

const EVENTS: AdviceEvent[] = [
  'folded-damp',
  'wet-logged',
  'folded-over-limit',
  'cover-not-fitted',
  'stiff-logged',
  'tailgate-seal-missing',
];

const NORTHERN: AdviceFacts = {
  hemisphere: 'north',
  top: {
    fittedOn: '2020-06-15',
    material: 'cloth',
    window: 'glass',
    keeping: { place: 'dry-garage', salt: 'none' },
    powered: false,
    oiledOn: '2020-06-15',
    oilingBooked: false,
    oilAsked: false,
    foldsPerYear: null,
    lastMovedOn: null,
    down: false,
    freeToMove: true,
  },
  events: [],
  alreadySent: [],
};

const day = fc.integer({ min: 0, max: 4000 }).map((n) => addDays('2020-01-01', n));
const anyTop = fc.record({
  fittedOn: day,
  material: fc.constantFrom('vinyl' as const, 'cloth' as const),
  window: fc.constantFrom('glass' as const, 'glass-bonded' as const, 'clear-vinyl' as const),
  keeping: fc.record({
    place: fc.constantFrom('heated-garage' as const, 'damp-garage' as const, 'outdoors' as const),
    salt: fc.constantFrom('none' as const, 'winter-roads' as const, 'by-sea' as const),
  }),
  powered: fc.boolean(),
  oiledOn: day,
  oilingBooked: fc.boolean(),
  oilAsked: fc.boolean(),
  foldsPerYear: fc.constantFrom(null, 4, 12, 13, 200),
  lastMovedOn: fc.option(day),
  down: fc.boolean(),
  freeToMove: fc.boolean(),
});
const facts: fc.Arbitrary<AdviceFacts> = fc.record({
  hemisphere: fc.constantFrom('north' as const, 'south' as const),
  top: anyTop,
  events: fc.array(fc.record({ name: fc.constantFrom(...EVENTS), on: day }), { maxLength: 4 }),
  alreadySent: fc.array(
    fc.record({ adviceId: fc.constantFrom(...ADVICE.map((row) => row.id)), on: day }),
    { maxLength: 30 },
  ),
});

// More than the settings allow, so that nothing is cut off the list.
const ALL_ROOM = { ...valuesOf(ADVICE_FIGURES), perNote: 99 };

function happened(name: AdviceEvent) {
  const events = [{ name, on: '2024-04-08' }];
  return careAdvice({ ...NORTHERN, events, today: '2024-04-10' })[0]?.id;
}

function idsFor(change: Partial<AdviceFacts['top']>, today: Day) {
  const input = { ...NORTHERN, top: { ...NORTHERN.top, ...change }, today };
  return careAdvice(input, ALL_ROOM).map((row) => row.id);
}

/** An old top and an empty log: the seasons alone speak. */
function ids(hemisphere: 'north' | 'south', today: Day) {
  return careAdvice({ ...NORTHERN, hemisphere, today }, ALL_ROOM).map((row) => row.id);
}

/** Lives through the years with one note in three weeks, as the round does. */
function live(from: AdviceFacts, start: Day, days: number) {
  const sent = [...from.alreadySent];
  let today: Day | null = start;
  const end = addDays(start, days);
  for (;;) {
    today = nextAdviceDay({ ...from, alreadySent: sent }, today);
    if (today === null || today > end) return sent;
    const chosen = careAdvice({ ...from, alreadySent: sent, today });
    for (const row of chosen) sent.push({ adviceId: row.id, on: today });
    today = addDays(today, 21);
  }
}

describe('the rows', () => {
  test('have unique ids, both languages, a harm on the ladder and a source', () => {
    expect(new Set(ADVICE.map((row) => row.id)).size).toBe(ADVICE.length);
    for (const row of ADVICE) {
      for (const words of [row.text, row.why]) {
        expect(words.en.length).toBeGreaterThan(20);
        expect(words.de.length).toBeGreaterThan(20);
        expect(words.de).not.toBe(words.en);
      }
      expect(row.harm).toBeGreaterThanOrEqual(1);
      expect(row.harm).toBeLessThanOrEqual(10);
      expect(row.source.en.length).toBeGreaterThan(5);
      expect(row.carriedBy !== 'care-note' || row.when.length > 0).toBe(true);
    }
  });

  test('carry the four that prevent the most, each with the evidence that the trade gives it', () => {
    // Grades as the handbooks and the trade give them: H for dry folding, T for the others.
    expect(adviceOf('cover-folded-top')?.harm).toBe(10);
    expect(adviceOf('cover-folded-top')?.grades).toContain('T');
    expect(adviceOf('dry-before-folding')?.grades).toEqual(['H']);
    expect(adviceOf('tailgate-seal-in-place')?.grades).toEqual(['T']);
    expect(adviceOf('raise-before-travel')?.grades).toEqual(['T']);
  });

  test('hold something for every month of the year', () => {
    const silent = Array.from({ length: 12 }, (_, i) => addMonths('2024-01-15', i)).filter(
      (today) => idsFor({ keeping: { place: 'street', salt: 'none' } }, today).length === 0,
    );
    expect(silent).toEqual([]);
  });
});

describe('care advice', () => {
  test.each([
    ['2024-04-10', 'cover-folded-top'],
    ['2024-07-01', 'raise-before-travel'],
    ['2024-09-30', 'tailgate-seal-in-place'],
    ['2024-03-01', 'dry-before-folding'],
    ['2024-11-15', 'november-lay-up'],
  ])('on %s starts with %s in the north', (today, id) => {
    expect(careAdvice({ ...NORTHERN, today })[0]?.id).toBe(id);
  });

  test.each([
    ['2024-10-10', 'cover-folded-top'],
    ['2024-01-01', 'raise-before-travel'],
    ['2024-03-31', 'tailgate-seal-in-place'],
    ['2024-09-01', 'dry-before-folding'],
    ['2024-05-15', 'november-lay-up'],
  ])('on %s starts with %s in the south', (today, id) => {
    expect(careAdvice({ ...NORTHERN, hemisphere: 'south', today })[0]?.id).toBe(id);
  });

  test('answers what has just happened first', () => {
    expect(happened('folded-damp')).toBe('folded-damp-raise-today');
    expect(happened('cover-not-fitted')).toBe('cover-folded-top');
    expect(happened('stiff-logged')).toBe('never-force');
    expect(happened('wet-logged')).toBe('dry-before-folding');
    expect(happened('tailgate-seal-missing')).toBe('tailgate-seal-in-place');
  });

  test('keeps to the material, the window and the drive of the top', () => {
    expect(idsFor({ material: 'cloth' }, '2024-10-05')).toContain('october-proof');
    expect(idsFor({ material: 'vinyl' }, '2024-10-05')).not.toContain('october-proof');
    expect(idsFor({ window: 'clear-vinyl' }, '2024-06-05')).toContain('plastic-window-flat');
    expect(idsFor({ window: 'glass' }, '2024-06-05')).not.toContain('plastic-window-flat');
    expect(idsFor({ powered: true, fittedOn: '2024-06-01' }, '2024-06-05')).toContain(
      'finish-the-movement',
    );
    expect(idsFor({ powered: false, fittedOn: '2024-06-01' }, '2024-06-05')).not.toContain(
      'finish-the-movement',
    );
  });

  test('tells a new owner to leave the top up, and does not speak of cleaning yet', () => {
    const top = { ...NORTHERN.top, fittedOn: '2024-10-01' };
    const first = careAdvice({ ...NORTHERN, top, today: '2024-10-01' }).map((row) => row.id);
    expect(first[0]).toBe('settle-cloth');
    expect(first).toContain('leave-up-48-hours');
    expect(first).toContain('first-fold-shown');
    expect(first).toHaveLength(ADVICE_FIGURES.perFirstNote.value);
    const later = careAdvice({ ...NORTHERN, top, today: '2024-10-20' }).map((row) => row.id);
    expect(later).not.toContain('october-proof');
    expect(careAdvice({ ...NORTHERN, top, today: '2024-09-30' })).toEqual([]);
  });

  test('says at most two things in a note, or as many as the shop set', () => {
    const input = { ...NORTHERN, today: '2024-04-10' };
    expect(careAdvice(input)).toHaveLength(2);
    expect(careAdvice(input, valuesOf(ADVICE_FIGURES, { perNote: 1 }))).toHaveLength(1);
  });

  test('is silent for ten months after having said it, to the day', () => {
    const sent = [{ adviceId: 'dry-before-folding', on: '2023-06-30' }];
    const said = (today: Day) =>
      careAdvice({ ...NORTHERN, alreadySent: sent, today }, ALL_ROOM).some(
        (row) => row.id === 'dry-before-folding',
      );
    expect(said('2024-04-29')).toBe(false);
    expect(said('2024-04-30')).toBe(true);
  });

  test('never repeats within ten months, whatever the car and its log', () => {
    const property = fc.property(facts, day, (given, start) => {
      const last = new Map<string, Day>();
      return live({ ...given, alreadySent: [] }, start, 1500).every(({ adviceId, on }) => {
        const before = last.get(adviceId);
        last.set(adviceId, on);
        return before === undefined || on >= addMonths(before, 10);
      });
    });
    expect(fc.check(property, { numRuns: runs(40) }).counterexample).toBeNull();
  });

  test('reaches every row that a care note carries, under the spacing of three weeks', () => {
    const reached = new Set<string>();
    for (const material of ['vinyl', 'cloth'] as const) {
      for (const window of ['glass', 'clear-vinyl'] as const) {
        for (const fittedOn of ['2020-01-07', '2020-04-01', '2020-08-20']) {
          const place = fittedOn < '2020-04' ? ('damp-garage' as const) : ('outdoors' as const);
          const top = {
            ...NORTHERN.top,
            fittedOn,
            material,
            window,
            keeping: { place, salt: 'winter-roads' as const },
            powered: window === 'glass',
            oilingBooked: place === 'damp-garage',
          };
          for (const s of live({ ...NORTHERN, top }, fittedOn, 4500)) reached.add(s.adviceId);
        }
      }
    }
    for (const name of EVENTS) {
      const events = [{ name, on: '2024-02-20' }];
      for (const row of careAdvice({
        ...NORTHERN,
        top: { ...NORTHERN.top, keeping: { place: 'street', salt: 'none' } },
        events,
        today: '2024-02-21',
      })) {
        reached.add(row.id);
      }
    }
    const missing = ADVICE.filter((row) => row.carriedBy === 'care-note' && !reached.has(row.id));
    expect(missing.map((row) => row.id)).toEqual([]);
  });

  test('in the south says on a day what the north says six months apart', () => {
    for (let month = 0; month < 12; month += 1) {
      const today = addMonths('2025-01-15', month);
      expect(ids('south', addMonths(today, 6))).toEqual(ids('north', today));
      expect(ids('south', today)).not.toEqual(ids('north', today));
    }
  });
});

describe('what can make an advice timely', () => {
  test('is each emitted by something that is recorded', () => {
    // Read from the source: an event that nothing emits would be an advice that nobody ever gets.
    const source = readFileSync('src/domain/round/advice-events.ts', 'utf8');
    const named = new Set(
      ADVICE.flatMap(({ when }) => when).flatMap((w) => (w.kind === 'event' ? [w.name] : [])),
    );
    expect([...named].sort()).toEqual(EVENTS.toSorted());
    for (const name of named) expect(source).toContain(`'${name}'`);
  });
});

describe('frost', () => {
  const outdoors = { keeping: { place: 'street' as const, salt: 'none' as const } };
  const says = (
    id: string,
    today: Day,
    own: Record<string, number> = {},
    more: Partial<AdviceFacts> = {},
    top: Partial<AdviceFacts['top']> = outdoors,
  ) =>
    careAdvice(
      { ...NORTHERN, ...more, top: { ...NORTHERN.top, ...top }, today },
      { ...valuesOf(ADVICE_FIGURES, own), perNote: 99, perFirstNote: 99 },
    ).some((row) => row.id === id);
  const monthsOf = (id: string, own: Record<string, number>, more: Partial<AdviceFacts> = {}) =>
    Array.from({ length: 12 }, (_, i) => addMonths('2025-01-15', i))
      .filter((today) => says(id, today, own, more))
      .map((today) => Number(today.slice(5, 7)));

  test('is that of the place: its months, six later in the south, none where there is none', () => {
    expect(monthsOf('december-snow', {})).toEqual([1, 2, 3, 11, 12]);
    expect(monthsOf('december-snow', {}, { hemisphere: 'south' })).toEqual([5, 6, 7, 8, 9]);
    const alps = { frostFirstMonth: 10, frostMonths: 8 };
    expect(monthsOf('december-snow', alps)).toEqual([1, 2, 3, 4, 5, 10, 11, 12]);
    expect(monthsOf('december-snow', { frostMonths: 0 })).toEqual([]);
    expect(monthsOf('not-below-floor', { frostFirstMonth: 1 })).toEqual([1, 10, 11]);
  });

  test('makes a new top stiff: said where the weeks after fitting fall into it', () => {
    const fittedOn = (on: Day) => ({ ...outdoors, fittedOn: on });
    const warm = (today: Day, top: Partial<AdviceFacts['top']>) =>
      says('warm-before-judging', today, {}, {}, top);
    expect(warm('2024-01-20', fittedOn('2024-01-10'))).toBe(true);
    expect(warm('2024-02-20', fittedOn('2024-01-10'))).toBe(false);
    expect(warm('2024-06-20', fittedOn('2024-06-10'))).toBe(false);
    // Fitted in October, cold in November, within a month of the fitting.
    expect(warm('2024-10-30', fittedOn('2024-10-12'))).toBe(false);
    expect(warm('2024-11-01', fittedOn('2024-10-12'))).toBe(true);
  });

  test('on a plastic window outdoors is not to be scraped', () => {
    const top = { ...outdoors, window: 'clear-vinyl' as const };
    expect(says('ice-on-plastic-window', '2024-12-05', {}, {}, top)).toBe(true);
    expect(says('ice-on-plastic-window', '2024-12-05')).toBe(false);
    expect(says('ice-on-plastic-window', '2024-07-05', {}, {}, top)).toBe(false);
  });
});

describe('the note of March', () => {
  const march = (top: Partial<AdviceFacts['top']>) =>
    idsFor(top, '2024-03-10').filter((id) => id.startsWith('march-'));

  test('asks for oil where the last is half a year old, and for drains alone where it is not', () => {
    expect(march({ oiledOn: '2023-09-10' })).toEqual(['march-oil-and-drains']);
    expect(march({ oiledOn: '2023-09-11' })).toEqual(['march-drains']);
  });

  test('asks for no oil where an oiling is booked', () => {
    expect(march({ oiledOn: '2023-03-01', oilingBooked: true })).toEqual(['march-drains']);
  });

  test('asks for no oil where its reminders have begun', () => {
    expect(march({ oiledOn: '2023-03-01', oilAsked: true })).toEqual(['march-drains']);
  });
});

describe('a top that is seldom folded', () => {
  const told = (top: Partial<AdviceFacts['top']>, today = '2024-06-10') =>
    idsFor(top, today).includes('work-monthly');

  test('is to be worked once a month in season, powered or not', () => {
    expect(told({})).toBe(true);
    expect(told({ powered: true, foldsPerYear: 12 })).toBe(true);
    expect(told({}, '2024-12-10')).toBe(false);
  });

  test('is not told so where it is folded often or was moved within the month', () => {
    expect(told({ foldsPerYear: 13 })).toBe(false);
    expect(told({ lastMovedOn: '2024-05-12' })).toBe(false);
    expect(told({ lastMovedOn: '2024-05-11' })).toBe(true);
  });

  test('is never told so while it lies folded, or may be moved only with care or not at all', () => {
    expect(told({ down: true })).toBe(false);
    expect(told({ freeToMove: false })).toBe(false);
  });
});

describe('washing and hydraulics', () => {
  test('have their words: brushes, jets, droppings, silent motor, lid, fluid', () => {
    const street = { keeping: { place: 'street' as const, salt: 'none' as const } };
    expect(idsFor(street, '2024-05-10')).toEqual(
      expect.arrayContaining(['wash-by-hand', 'droppings-and-sap']),
    );
    expect(idsFor(street, '2024-03-10')).toEqual(
      expect.arrayContaining(['no-pressure-washer', 'no-brush-wash']),
    );
    const powered = (today: Day) => idsFor({ powered: true }, today);
    expect(powered('2024-02-10')).toContain('powered-fluid-yearly');
    expect(powered('2024-04-10')).toContain('powered-silent-motor');
    expect(powered('2024-05-10')).toContain('powered-lid-held');
    expect(idsFor({}, '2024-05-10')).not.toContain('powered-lid-held');
  });
});

describe('the next day with something to say', () => {
  test('is the day that a day-by-day search finds', () => {
    const property = fc.property(facts, day, (given, from) => {
      const found = nextAdviceDay(given, from);
      let searched: Day | null = null;
      for (let n = 0; n < 450 && searched === null; n += 1) {
        const today = addDays(from, n);
        if (careAdvice({ ...given, today }).length > 0) searched = today;
      }
      return (
        found === searched || (searched === null && found !== null && found > addDays(from, 449))
      );
    });
    expect(fc.check(property, { numRuns: runs(60) }).counterexample).toBeNull();
  });

  test('is null where nothing can ever be said', () => {
    const once = ADVICE.filter((row) => row.id === 'leave-up-48-hours');
    expect(nextAdviceDay(NORTHERN, '2020-06-18', ALL_ROOM, once)).toBeNull();
    expect(nextAdviceDay(NORTHERN, '2020-06-01', ALL_ROOM, once)).toBe('2020-06-15');
  });
});
