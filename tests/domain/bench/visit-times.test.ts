import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { BenchDay, TakenTime } from '../../../src/domain/bench/visit-times.ts';
import { benchesFor, cellsOf, visitTimes } from '../../../src/domain/bench/visit-times.ts';

const HOURS = { from: '08:00', to: '12:00' };
const days: BenchDay[] = ['2026-06-15', '2026-06-16', '2026-06-17'].map((day) => ({
  day,
  hours: HOURS,
}));
const [monday, tuesday] = ['2026-06-15', '2026-06-16'] as const;
const taken = (on: string, dropOff: string | null, places: number): TakenTime => ({
  on,
  dropOff,
  places,
});

// Worked by hand: a morning of eight half hours.
describe('the times of a visit', () => {
  it('begin at the first half hour from which the bench is free for all of it', () => {
    expect(visitTimes(days, 1, [], { on: monday, places: 4 })).toEqual({
      on: monday,
      dropOff: '08:00',
      readyOn: monday,
      ready: '10:00',
    });
    const busy = [taken(monday, '08:30', 2)];
    expect(visitTimes(days, 1, busy, { on: monday, places: 4 })).toMatchObject({
      dropOff: '09:30',
      ready: '11:30',
    });
    expect(visitTimes(days, 1, busy, { on: monday, places: 1 })).toMatchObject({
      dropOff: '08:00',
      ready: '08:30',
    });
  });

  it('wait while others have their turn where no free time is long enough', () => {
    const busy = [taken(monday, '09:30', 2)];
    expect(visitTimes(days, 1, busy, { on: monday, places: 6 })).toMatchObject({
      dropOff: '08:00',
      ready: '12:00',
    });
    expect(visitTimes(days, 1, busy, { on: monday, places: 7 })).toBeNull();
  });

  it('take the second bench where the first is in use', () => {
    const busy = [taken(monday, '08:00', 8)];
    expect(visitTimes(days, 1, busy, { on: monday, places: 1 })).toBeNull();
    expect(visitTimes(days, 2, busy, { on: monday, places: 8 })).toMatchObject({
      dropOff: '08:00',
      ready: '12:00',
    });
  });

  it('run on into the next open day only where no day could hold the visit', () => {
    expect(visitTimes(days, 1, [], { on: monday, places: 10 })).toEqual({
      on: monday,
      dropOff: '08:00',
      readyOn: tuesday,
      ready: '09:00',
    });
    // What runs on from the day before stands on the bench first.
    expect(
      visitTimes(days, 1, [taken(monday, null, 10)], { on: tuesday, places: 2 }),
    ).toMatchObject({ dropOff: '09:00', ready: '10:00' });
  });

  it('are those asked for, or none', () => {
    const asked = { on: monday, places: 2, dropOff: '09:00' };
    expect(visitTimes(days, 1, [], asked)).toMatchObject({ dropOff: '09:00' });
    expect(visitTimes(days, 1, [taken(monday, '09:00', 1)], asked)).toBeNull();
    expect(visitTimes(days, 1, [], { ...asked, dropOff: '09:10' })).toBeNull();
    expect(visitTimes(days, 1, [], { ...asked, dropOff: '07:30' })).toBeNull();
    expect(visitTimes(days, 1, [], { ...asked, on: '2026-06-20' })).toBeNull();
  });

  it('lie behind the clock of today', () => {
    const asked = { on: monday, places: 2, notBefore: '09:12' };
    expect(visitTimes(days, 1, [], asked)).toMatchObject({ dropOff: '09:30', ready: '10:30' });
    expect(visitTimes(days, 1, [], { ...asked, notBefore: '11:12' })).toBeNull();
  });

  it('never put more cars on the benches at once than there are benches', () => {
    const visit = fc.record({
      on: fc.constantFrom(monday, tuesday),
      places: fc.integer({ min: 1, max: 8 }),
    });
    fc.assert(
      fc.property(
        fc.array(visit, { maxLength: 12 }),
        fc.integer({ min: 1, max: 3 }),
        (wanted, benches) => {
          const placed: TakenTime[] = [];
          const load = new Map<string, number>();
          for (const { on, places } of wanted) {
            const times = visitTimes(days, benches, placed, { on, places });
            if (times === null) continue;
            expect(times.readyOn).toBe(on);
            expect(times.dropOff >= HOURS.from && times.ready <= HOURS.to).toBe(true);
            const lasts =
              Number(times.ready.slice(0, 2)) * 2 - Number(times.dropOff.slice(0, 2)) * 2;
            expect(lasts + 1).toBeGreaterThanOrEqual(places);
            placed.push({ on, dropOff: times.dropOff, places });
            load.set(on, (load.get(on) ?? 0) + places);
          }
          for (const places of load.values()) expect(places).toBeLessThanOrEqual(benches * 8);
        },
      ),
    );
  });

  it('count the half hours of a day, and the benches that its minutes need', () => {
    expect(cellsOf({ from: '08:00', to: '17:15' })).toBe(18);
    expect(cellsOf({ from: '08:00', to: '08:00' })).toBe(0);
    expect(benchesFor(480, { from: '08:00', to: '17:00' })).toBe(1);
    expect(benchesFor(960, { from: '08:00', to: '17:00' })).toBe(2);
  });
});
