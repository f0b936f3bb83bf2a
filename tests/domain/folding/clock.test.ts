import { describe, expect, it } from 'vitest';
import { parseInstant } from '../../../src/domain/calendar/instant.ts';
import type { ClockInput } from '../../../src/domain/folding/clock.ts';
import { foldedClock, nextClockMoment } from '../../../src/domain/folding/clock.ts';
import { valuesOf } from '../../../src/domain/figures/figure.ts';
import { FOLDING_FIGURES } from '../../../src/domain/folding/folding-figures.ts';
import type { LogEntry } from '../../../src/domain/folding/position-log.ts';
import { stillAt, stillsBy } from '../../../src/domain/folding/still.ts';
import { folded, raised, underHardTop } from './arbitrary-log.ts';

const utc = (text: string) => parseInstant(text) ?? '';
const input = (entries: LogEntry[], at: string, more: Partial<ClockInput> = {}): ClockInput => ({
  zone: 'UTC',
  limitDays: 3,
  entries,
  at: utc(at),
  ...more,
});
const stretch = (...args: Parameters<typeof input>) => foldedClock(input(...args)).stretch;

describe('the limit', () => {
  // Three days of standing folded across a change of the clocks (computed with
  // @js-temporal/polyfill).
  it.each([
    ['Europe/London', '2026-03-28T18:00+00:00', '2026-03-30T18:00+01:00', '2026-03-31T18:00+01:00'],
    ['Europe/London', '2026-10-24T18:00+01:00', '2026-10-26T18:00+00:00', '2026-10-27T18:00+00:00'],
    [
      'America/New_York',
      '2026-03-07T18:00-05:00',
      '2026-03-09T18:00-04:00',
      '2026-03-10T18:00-04:00',
    ],
    [
      'America/New_York',
      '2026-10-31T18:00-04:00',
      '2026-11-02T18:00-05:00',
      '2026-11-03T18:00-05:00',
    ],
  ])('in %s of a top folded at %s: near at %s, over at %s', (zone, from, nearing, over) => {
    const at = (when: string) => stretch([folded(from)], when, { zone });
    expect(at(from)).toEqual({
      startedAt: utc(from),
      limitDays: 3,
      nearingAt: utc(nearing),
      overAt: utc(over),
      state: 'within',
    });
    expect(at(nearing)?.state).toBe('nearing');
    expect(at(over)?.state).toBe('over');
    expect(at(new Date(Date.parse(nearing) - 1).toISOString())?.state).toBe('within');
    expect(at(new Date(Date.parse(over) - 1).toISOString())?.state).toBe('nearing');
  });

  // Worked by hand: folded on a Friday at 18:00 with a limit of three days.
  it('is Monday 18:00 for Friday 18:00, and near on Sunday', () => {
    const { nearingAt, overAt } = stretch([folded('2026-05-01T18:00Z')], '2026-05-02T00:00Z') ?? {};
    expect([nearingAt, overAt]).toEqual([utc('2026-05-03T18:00Z'), utc('2026-05-04T18:00Z')]);
  });

  it('of one day is near at once', () => {
    const one = stretch([folded('2026-05-01T18:00Z')], '2026-05-01T18:00Z', { limitDays: 1 });
    expect([one?.nearingAt, one?.overAt, one?.state]).toEqual([
      utc('2026-05-01T18:00Z'),
      utc('2026-05-02T18:00Z'),
      'nearing',
    ]);
  });
});

describe('position and since', () => {
  it('are unknown before the first entry', () => {
    const nothing = { position: null, since: null, stretch: null };
    expect(foldedClock(input([], '2026-05-01T00:00Z'))).toEqual(nothing);
    expect(foldedClock(input([folded('2026-05-01T00:01Z')], '2026-05-01T00:00Z'))).toEqual(nothing);
  });

  it('go back to where the position was taken, not to where it was last noted', () => {
    const entries = [folded('2026-05-01T00:00Z'), folded('2026-05-02T00:00Z')];
    const clock = foldedClock(input(entries, '2026-05-03T00:00Z'));
    expect([clock.since, clock.stretch?.startedAt]).toEqual([
      utc('2026-05-01T00:00Z'),
      utc('2026-05-01T00:00Z'),
    ]);
  });

  it('have no stretch for a top that was never folded', () => {
    expect(foldedClock(input([raised('2026-05-01T00:00Z')], '2026-05-01T06:00Z'))).toEqual({
      position: 'raised',
      since: utc('2026-05-01T00:00Z'),
      stretch: null,
    });
  });
});

describe('rests (12 hours: shop rule)', () => {
  const down = folded('2026-05-01T10:00Z');
  const up = raised('2026-05-02T10:00Z');

  it('pause the clock where they are short', () => {
    const entries = [down, up, folded('2026-05-02T21:59:59.999Z')];
    expect(stretch(entries, '2026-05-03T00:00Z')).toMatchObject({
      startedAt: down.at,
      nearingAt: utc('2026-05-03T21:59:59.999Z'),
      overAt: utc('2026-05-04T21:59:59.999Z'),
    });
  });

  it('end the stretch from 12 hours on', () => {
    const again = folded('2026-05-02T22:00Z');
    expect(stretch([down, up, again], '2026-05-03T00:00Z')).toMatchObject({
      startedAt: again.at,
      overAt: utc('2026-05-05T22:00Z'),
    });
  });

  it('add up only while none of them is proper by itself', () => {
    const entries = [
      down,
      ...['02', '03', '04'].flatMap((day) => [
        raised(`2026-05-${day}T10:00Z`),
        folded(`2026-05-${day}T20:00Z`),
      ]),
    ];
    expect(stretch(entries, '2026-05-05T00:00Z')).toMatchObject({
      startedAt: down.at,
      overAt: utc('2026-05-05T16:00Z'),
    });
  });

  it('hold the state while they last, and end it after 12 hours', () => {
    expect(stretch([down, up], '2026-05-02T21:59Z')).toMatchObject({
      overAt: utc('2026-05-04T21:59Z'),
      state: 'within',
    });
    expect(stretch([down, up], '2026-05-02T22:00Z')).toBeNull();
    const late = raised('2026-05-04T10:00Z');
    expect(stretch([down, late], '2026-05-04T12:00Z')?.state).toBe('over');
    const justBefore = raised('2026-05-04T09:59Z');
    expect(stretch([down, justBefore], '2026-05-04T12:00Z')?.state).toBe('nearing');
  });

  // Touching spells are one spell (own row).
  it('need time: up and down in one instant changes nothing', () => {
    const entries = [down, up, folded('2026-05-02T10:00Z')];
    expect(stretch(entries, '2026-05-03T00:00Z')).toEqual(stretch([down], '2026-05-03T00:00Z'));
  });

  it('last as long as the organisation says', () => {
    const figures = valuesOf(FOLDING_FIGURES, { properRestHours: 2 });
    expect(foldedClock(input([down, up], '2026-05-02T12:00Z'), figures).stretch).toBeNull();
  });
});

describe('a damp fold (1 day: shop rule)', () => {
  // Worked by hand: folded damp on a Friday at 18:00.
  it('is over on Saturday 18:00 for Friday 18:00', () => {
    const damp = folded('2026-05-01T18:00Z', { damp: true });
    expect(stretch([damp], '2026-05-01T18:00Z')).toEqual({
      startedAt: damp.at,
      limitDays: 1,
      nearingAt: damp.at,
      overAt: utc('2026-05-02T18:00Z'),
      state: 'nearing',
    });
    expect(stretch([damp], '2026-05-02T18:00Z')?.state).toBe('over');
  });

  it('keeps the wall-clock time over a change of the clocks', () => {
    const damp = folded('2026-03-28T18:00Z', { damp: true });
    const { overAt } = stretch([damp], '2026-03-28T20:00Z', { zone: 'Europe/London' }) ?? {};
    expect(overAt).toBe(utc('2026-03-29T18:00+01:00'));
  });

  it('sets its own limit inside a running stretch, with the rest after it', () => {
    const entries = [
      folded('2026-05-01T10:00Z'),
      raised('2026-05-01T12:00Z'),
      folded('2026-05-01T13:00Z', { damp: true }),
      raised('2026-05-01T20:00Z'),
      folded('2026-05-01T22:00Z'),
    ];
    expect(stretch(entries, '2026-05-02T00:00Z')).toEqual({
      startedAt: utc('2026-05-01T10:00Z'),
      limitDays: 1,
      nearingAt: utc('2026-05-01T15:00Z'),
      overAt: utc('2026-05-02T15:00Z'),
      state: 'nearing',
    });
  });

  it('does not lengthen a limit that is met sooner, and ends with its stretch', () => {
    const first = folded('2026-05-01T10:00Z');
    const late = [first, folded('2026-05-04T00:00Z', { damp: true })];
    expect(stretch(late, '2026-05-04T01:00Z')).toMatchObject({
      limitDays: 3,
      overAt: utc('2026-05-04T10:00Z'),
    });
    const dried = [
      folded('2026-05-01T10:00Z', { damp: true }),
      raised('2026-05-01T20:00Z'),
      folded('2026-05-02T20:00Z'),
    ];
    expect(stretch(dried, '2026-05-03T00:00Z')).toMatchObject({
      limitDays: 3,
      overAt: utc('2026-05-05T20:00Z'),
    });
  });
});

describe('a top that is put up damp (12 hours to dry: shop rule)', () => {
  const down = folded('2026-05-01T10:00Z');
  // "Put up damp on Tuesday evening: it counts as resting from Wednesday morning." Worked by hand.
  const up = raised('2026-05-05T18:00Z', { damp: true });
  const dry = (at: string) => raised(at);

  it('counts as resting from when it had time to dry, and the clock stands still meanwhile', () => {
    const clock = foldedClock(input([down, up], '2026-05-06T05:59Z'));
    expect(clock.restsFrom).toBe(utc('2026-05-06T06:00Z'));
    expect(clock.stretch?.startedAt).toBe(down.at);
    const later = foldedClock(input([down, up], '2026-05-06T06:00Z'));
    expect(later.restsFrom).toBeUndefined();
    expect(stretch([down, up], '2026-05-06T17:59Z')?.startedAt).toBe(down.at);
    expect(stretch([down, up], '2026-05-06T18:00Z')).toBeNull();
  });

  it('is the same stretch when it is folded before that, but for the time it was up', () => {
    const again = folded('2026-05-06T08:00Z');
    const early = [folded('2026-05-05T10:00Z'), up, again];
    expect(stretch(early, '2026-05-06T09:00Z')).toMatchObject({
      startedAt: utc('2026-05-05T10:00Z'),
      overAt: utc('2026-05-09T00:00Z'),
    });
  });

  it('rests from when somebody says that it is dry, and damp anew from when that is said', () => {
    const said = [down, up, dry('2026-05-05T20:00Z')];
    expect(stretch(said, '2026-05-06T07:59Z')).not.toBeNull();
    expect(stretch(said, '2026-05-06T08:00Z')).toBeNull();
    const wetAgain = [...said, raised('2026-05-05T22:00Z', { damp: true })];
    expect(foldedClock(input(wetAgain, '2026-05-06T08:00Z')).restsFrom).toBe(
      utc('2026-05-06T10:00Z'),
    );
    expect(stretch(wetAgain, '2026-05-06T22:00Z')).toBeNull();
  });

  it('that had its rest keeps it, whatever is said of damp later', () => {
    const rested = [down, raised('2026-05-05T18:00Z'), raised('2026-05-06T06:00Z', { damp: true })];
    expect(stretch(rested, '2026-05-06T07:00Z')).toBeNull();
    expect(foldedClock(input(rested, '2026-05-06T07:00Z')).restsFrom).toBeUndefined();
  });

  it('is taken as dry where nothing is said, and dries as long as the organisation says', () => {
    expect(stretch([down, raised(up.at)], '2026-05-06T06:00Z')).toBeNull();
    const figures = valuesOf(FOLDING_FIGURES, { dryingHours: 0 });
    expect(foldedClock(input([down, up], '2026-05-06T06:00Z'), figures).stretch).toBeNull();
  });
});

describe('under the hard top', () => {
  const winter = [folded('2025-11-01T10:00Z'), underHardTop('2025-11-02T10:00Z')];

  it('no clock runs, however long', () => {
    const clock = foldedClock(input(winter, '2026-03-01T00:00Z'));
    expect(clock).toEqual({
      position: 'folded-under-hard-top',
      since: utc('2025-11-02T10:00Z'),
      stretch: null,
    });
    expect(nextClockMoment(input(winter, '2026-03-01T00:00Z'))).toBeNull();
  });

  // It relaxes and dries raised; under the hard top it stays as it was folded.
  it('pauses the stretch and ends none: two hours, or a winter', () => {
    const spring = [...winter, folded('2026-03-01T10:00Z')];
    expect(stretch(spring, '2026-03-01T12:00Z')).toMatchObject({
      startedAt: utc('2025-11-01T10:00Z'),
      overAt: utc('2026-03-03T10:00Z'),
    });
    const day = [
      folded('2026-06-01T08:00Z'),
      underHardTop('2026-06-03T10:00Z'),
      folded('2026-06-03T12:00Z'),
    ];
    expect(stretch(day, '2026-06-03T13:00Z')).toMatchObject({
      startedAt: utc('2026-06-01T08:00Z'),
      overAt: utc('2026-06-04T10:00Z'),
      state: 'nearing',
    });
  });

  it('is no rest, neither by itself nor with one beside it', () => {
    const log = [
      folded('2026-06-01T08:00Z'),
      raised('2026-06-02T08:00Z'),
      underHardTop('2026-06-02T16:00Z'),
      raised('2026-06-02T20:00Z'),
      folded('2026-06-03T04:00Z'),
    ];
    expect(stretch(log, '2026-06-03T05:00Z')).toMatchObject({
      startedAt: utc('2026-06-01T08:00Z'),
      overAt: utc('2026-06-05T04:00Z'),
    });
    const rested = [...log.slice(0, 4), folded('2026-06-03T08:00Z')];
    expect(stretch(rested, '2026-06-03T09:00Z')).toMatchObject({
      startedAt: utc('2026-06-03T08:00Z'),
    });
  });

  it('begins the count when it comes off, where none ran before', () => {
    const log = [underHardTop('2025-11-02T10:00Z'), folded('2026-03-01T10:00Z')];
    expect(stretch(log, '2026-03-01T12:00Z')).toMatchObject({
      startedAt: utc('2026-03-01T10:00Z'),
      overAt: utc('2026-03-04T10:00Z'),
    });
  });
});

describe('the next moment of the clock', () => {
  const zone = 'Europe/London';
  const entries = [folded('2026-03-20T18:00Z')];

  it('is nearing, then over, then weekly by the clock on the wall', () => {
    const moments: string[] = [];
    let at = utc('2026-03-20T18:00Z');
    for (let i = 0; i < 5; i++) {
      at = nextClockMoment(input(entries, at, { zone })) ?? '';
      moments.push(at);
    }
    expect(moments).toEqual(
      [
        '2026-03-22T18:00Z',
        '2026-03-23T18:00Z',
        '2026-03-30T18:00+01:00',
        '2026-04-06T18:00+01:00',
        '2026-04-13T18:00+01:00',
      ].map(utc),
    );
  });

  it('does not come while the top is raised', () => {
    const resting = [...entries, raised('2026-03-21T18:00Z')];
    expect(nextClockMoment(input(resting, '2026-03-21T19:00Z', { zone }))).toBeNull();
    expect(nextClockMoment(input([], '2026-03-21T19:00Z', { zone }))).toBeNull();
  });

  it('counts the weeks that have passed over a change of the clocks', () => {
    const overAt = utc('2026-10-20T18:00+01:00');
    expect(stillsBy(zone, overAt, overAt)).toBe(0);
    const first = stillAt(zone, overAt, 1);
    expect(first).toBe(utc('2026-10-27T18:00Z'));
    expect(stillsBy(zone, overAt, utc('2026-10-27T17:59Z'))).toBe(0);
    expect(stillsBy(zone, overAt, first)).toBe(1);
    expect(stillsBy(zone, overAt, utc('2026-11-30T00:00Z'))).toBe(5);
    const spring = utc('2026-03-24T18:00Z');
    expect(stillsBy(zone, spring, utc('2026-03-31T18:00+01:00'))).toBe(1);
    expect(stillsBy(zone, spring, utc('2026-03-20T00:00Z'))).toBe(0);
  });
});
