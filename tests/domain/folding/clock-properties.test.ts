import * as fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, it } from 'vitest';
import type { ClockInput } from '../../../src/domain/folding/clock.ts';
import { foldedClock, nextClockMoment } from '../../../src/domain/folding/clock.ts';
import type { LogEntry, Position } from '../../../src/domain/folding/position-log.ts';
import { POSITIONS } from '../../../src/domain/folding/position-log.ts';
import { anyLog, instantOf, TWO_WEEKS } from './arbitrary-log.ts';
import { runs } from '../../setup/runs.ts';

const anyMoment = fc.integer({ min: 0, max: TWO_WEEKS }).map(instantOf);
const anyLimit = fc.integer({ min: 1, max: 5 });
const base = { zone: 'Europe/London' } as const;

describe('the folded clock', () => {
  it('of a top that is up and not dry yet names when it rests, never before it was put up', () => {
    fc.assert(
      fc.property(anyLog, anyMoment, (entries, at) => {
        const { position, since, stretch, restsFrom } = foldedClock({
          ...base,
          limitDays: 3,
          entries,
          at,
        });
        if (restsFrom === undefined) return;
        expect([position, stretch === null]).toEqual(['raised', false]);
        expect(restsFrom > at && restsFrom > (since ?? '~')).toBe(true);
        const damp = entries.some((entry) => entry.position === 'raised' && entry.damp === true);
        expect(damp).toBe(true);
      }),
    );
  });

  it('depends only on the set of valid entries', () => {
    fc.assert(
      fc.property(anyLog, anyMoment, fc.infiniteStream(fc.nat()), (entries, at, random) => {
        const clock = foldedClock({ ...base, limitDays: 3, entries, at });
        const shuffled = entries
          .filter((entry) => !entry.withdrawn)
          .flatMap((entry) => [entry, { ...entry }])
          .map((entry) => ({ entry, key: random.next().value }))
          .sort((a, b) => a.key - b.key)
          .map(({ entry }) => entry);
        expect(foldedClock({ ...base, limitDays: 3, entries: shuffled, at })).toEqual(clock);
        const known = entries.filter((entry) => entry.at <= at);
        expect(foldedClock({ ...base, limitDays: 3, entries: known, at })).toEqual(clock);
      }),
    );
  });

  it('equals a clock that ticks through every minute', () => {
    const spell = fc.record({
      position: fc.constantFrom<Position>(...POSITIONS, 'folded', 'raised'),
      minutes: fc.oneof(fc.integer({ min: 1, max: 3000 }), fc.integer({ min: 715, max: 725 })),
      damp: fc.constantFrom(false, false, true),
    });
    const spells = fc.array(spell, { minLength: 1, maxLength: 12 });
    const zone = fc.constantFrom('Europe/London', 'America/New_York', 'Asia/Tokyo');
    fc.assert(
      fc.property(spells, anyLimit, zone, (list, limitDays, inZone) => {
        const entries: LogEntry[] = [];
        let minute = 0;
        for (const { position, minutes, damp } of list) {
          entries.push({ position, damp, at: instantOf(minute) });
          minute += minutes;
        }
        const input = { zone: inZone, limitDays, entries, at: instantOf(minute) };
        expect(foldedClock(input).stretch).toEqual(tickedStretch(input, minute));
      }),
      { numRuns: runs(300) },
    );
  });

  it('changes its state exactly at the next moment it tells', () => {
    fc.assert(
      fc.property(anyLog, anyMoment, anyLimit, (entries, at, limitDays) => {
        const known = { ...base, limitDays, entries: entries.filter((entry) => entry.at <= at) };
        const next = nextClockMoment({ ...known, at });
        fc.pre(next !== null);
        const moment = next ?? '';
        expect(moment > at).toBe(true);
        const before = new Date(Date.parse(moment) - 1).toISOString();
        const stateAt = (when: string) => foldedClock({ ...known, at: when }).stretch?.state;
        const was = stateAt(at);
        expect(stateAt(before)).toBe(was);
        expect(stateAt(moment) === was).toBe(was === 'over');
      }),
    );
  });

  it('never gives a longer limit to a damp top', () => {
    fc.assert(
      fc.property(anyLog, anyMoment, anyLimit, (entries, at, limitDays) => {
        const dry = entries.map((entry) => ({ ...entry, damp: false }));
        const asLogged = foldedClock({ ...base, limitDays, entries, at });
        const asDry = foldedClock({ ...base, limitDays, entries: dry, at });
        // Damp never begins a stretch later nor ends it sooner, and what is folded is over no later.
        if (asDry.stretch === null) return;
        expect((asLogged.stretch?.startedAt ?? '~') <= asDry.stretch.startedAt).toBe(true);
        expect((asLogged.stretch?.overAt ?? '~') <= asDry.stretch.overAt).toBe(true);
      }),
    );
  });
});

it('comes to one answer over 200,000 entries in either order', () => {
  const entries: LogEntry[] = Array.from({ length: 200_000 }, (_, i) => ({
    position: i % 2 ? 'raised' : 'folded',
    at: instantOf(i * 7),
  }));
  const at = instantOf(200_000 * 7);
  const clock = foldedClock({ ...base, limitDays: 3, entries, at });
  expect(clock.stretch?.startedAt).toBe(instantOf(0));
  expect(foldedClock({ ...base, limitDays: 3, entries: entries.toReversed(), at })).toEqual(clock);
});

/** The rule told minute by minute, with Temporal for the calendar: slow, and hard to get wrong. */
function tickedStretch({ zone, limitDays, entries, at }: ClockInput, end: number) {
  const minuteOf = (instant: string) => (Date.parse(instant) - Date.parse(instantOf(0))) / 60_000;
  const at0 = new Map(entries.map((entry) => [minuteOf(entry.at), entry]));
  let position: Position = 'raised';
  let start: number | null = null;
  let damp: number | null = null;
  let rested = 0;
  let restedBeforeDamp = 0;
  let resting = 0;
  let dryAt = 0;
  for (let minute = 0; minute <= end; minute++) {
    const entry = at0.get(minute);
    const before = position;
    position = entry?.position ?? position;
    if (entry?.position === 'raised') {
      if (entry.damp) dryAt = minute + 720;
      else if (before !== 'raised' || dryAt > minute) dryAt = minute;
    }
    if (entry?.position === 'raised' && dryAt > minute) resting = 0;
    if (position === 'folded') {
      if (start === null) [start, damp, rested, restedBeforeDamp] = [minute, null, 0, 0];
      if (entry?.damp && damp === null) [damp, restedBeforeDamp] = [minute, rested];
    }
    // The minute that begins now is rested, unless time ends here.
    resting = position === 'raised' && start !== null ? resting : 0;
    if (position === 'raised' && resting >= 720) start = null;
    if (position === 'raised' && start !== null && minute < end) {
      if (minute >= dryAt) resting++;
      rested++;
    }
    if (position === 'folded-under-hard-top' && start !== null && minute < end) rested++;
    if (resting >= 720) start = null;
  }
  if (start === null || position === 'folded-under-hard-top') return null;
  const after = (from: number, days: number, minutes: number) =>
    new Date(
      Temporal.Instant.from(instantOf(from)).toZonedDateTimeISO(zone).add({ days })
        .epochMilliseconds +
        minutes * 60_000,
    ).toISOString();
  const limits = [{ from: start, days: limitDays, minutes: rested }];
  if (damp !== null) limits.push({ from: damp, days: 1, minutes: rested - restedBeforeDamp });
  const [first] = limits
    .map(({ from, days, minutes }) => ({
      limitDays: days,
      nearingAt: after(from, days - 1, minutes),
      overAt: after(from, days, minutes),
    }))
    .sort((a, b) => (a.overAt < b.overAt ? -1 : Number(a.overAt > b.overAt)));
  if (!first) return null;
  const nearing = at >= first.nearingAt ? 'nearing' : 'within';
  const state = at >= first.overAt ? 'over' : nearing;
  return { startedAt: instantOf(start), ...first, state };
}
