import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CareDayShape, Helper } from '../../../src/domain/care-day/care-day-shape.ts';
import { clockAt, minutesAt, stretchesOf } from '../../../src/domain/care-day/care-day-shape.ts';
import { freeStarts, proposeTimes } from '../../../src/domain/care-day/care-times.ts';
import type { Job, Post } from '../../../src/domain/care-day/rota.ts';
import { rotaOf } from '../../../src/domain/care-day/rota.ts';
import { runs } from '../../setup/runs.ts';

const allDay = (id: string): Helper => ({ id, name: id, from: '09:00', until: '12:00' });
const morning = (benches: number, helpers: readonly Helper[]): CareDayShape => ({
  from: '09:00',
  until: '12:00',
  breaks: [{ from: '10:30', until: '10:45' }],
  benches,
  helpers,
  stepMinutes: 15,
});
const job = (id: string, clock: string, minutes: number, hand: Partial<Job> = {}): Job => ({
  id,
  start: minutesAt(clock),
  minutes,
  bench: null,
  helperId: null,
  ...hand,
});

// Worked by hand: a morning of two stretches, 09:00–10:30 and 10:45–12:00.
describe('the rota of a morning', () => {
  it('shares the work out and keeps the pause', () => {
    const shape = morning(2, [allDay('ann'), allDay('bob')]);
    const rota = rotaOf(shape, [
      job('a', '09:00', 45),
      job('b', '09:00', 30),
      job('c', '09:30', 30),
      job('d', '10:45', 75),
    ]);
    expect(rota?.map(({ id, bench, helperId }) => [id, bench, helperId])).toEqual([
      ['a', 1, 'ann'],
      ['b', 2, 'bob'],
      ['c', 2, 'bob'],
      ['d', 1, 'ann'],
    ]);
    expect(rotaOf(shape, [job('a', '10:15', 30)])).toBeNull();
    expect(rotaOf(shape, [job('a', '11:45', 30)])).toBeNull();
  });

  it('has no more cars at once than benches, and no more than helpers who are there', () => {
    const three = ['a', 'b', 'c'].map((id) => job(id, '09:00', 30));
    expect(rotaOf(morning(2, [allDay('ann'), allDay('bob'), allDay('cy')]), three)).toBeNull();
    expect(rotaOf(morning(3, [allDay('ann'), allDay('bob')]), three)).toBeNull();
    const late = { ...allDay('cy'), from: '09:15' };
    expect(rotaOf(morning(3, [allDay('ann'), allDay('bob'), late]), three)).toBeNull();
  });

  it('keeps whom and which bench somebody said by hand, and moves the others round them', () => {
    const shape = morning(2, [allDay('ann'), allDay('bob')]);
    // The second car lies between one that may be anywhere and one that stands on bench 2.
    const rota = rotaOf(shape, [
      job('a', '09:00', 30),
      job('b', '09:15', 45),
      job('c', '09:30', 60, { bench: 2, helperId: 'ann' }),
    ]);
    expect(rota?.map(({ bench }) => bench)).toEqual([2, 1, 2]);
    expect(rota?.find(({ id }) => id === 'c')?.helperId).toBe('ann');
    const clash = [job('a', '09:00', 30, { bench: 1 }), job('b', '09:00', 30, { bench: 1 })];
    expect(rotaOf(shape, clash)).toBeNull();
  });

  it('gives a helper who is there for an hour what fits in it', () => {
    const shape = morning(1, [{ ...allDay('ann'), until: '10:00' }]);
    expect(freeStarts(shape, [], { id: 'x', minutes: 45 }).map(clockAt)).toEqual([
      '09:00',
      '09:15',
    ]);
    expect(
      freeStarts(shape, [job('a', '09:00', 30)], { id: 'x', minutes: 30 }).map(clockAt),
    ).toEqual(['09:30']);
  });

  it('names the times of one helper alone where that helper is wished for', () => {
    const late = { ...allDay('ada'), from: '10:45' };
    const shape = morning(2, [allDay('ann'), late]);
    const x = { id: 'x', minutes: 60 };
    expect(freeStarts(shape, [], x, { helperId: 'ada' }).map(clockAt)).toEqual(['10:45', '11:00']);
    expect(freeStarts(shape, [], x).map(clockAt)).toContain('09:00');
  });

  it('lets short cars pass a long one where not all find room', () => {
    const shape = { ...morning(1, [allDay('ann')]), until: '10:30', breaks: [] };
    const found = proposeTimes(
      shape,
      [],
      [
        { id: 'long', minutes: 75 },
        { id: 'b', minutes: 30 },
        { id: 'c', minutes: 30 },
        { id: 'd', minutes: 30 },
      ],
    );
    expect([...found].map(([id, at]) => [id, clockAt(at)])).toEqual([
      ['b', '09:00'],
      ['c', '09:30'],
      ['d', '10:00'],
    ]);
  });
});

const quarter = fc.integer({ min: 36, max: 56 }).map((n) => clockAt(n * 15));
const span = fc
  .tuple(quarter, quarter)
  .filter(([a, b]) => a !== b)
  .map(([a, b]) => (a < b ? { from: a, until: b } : { from: b, until: a }));
const helper = fc.tuple(fc.boolean(), span);
const shapes: fc.Arbitrary<CareDayShape> = fc
  .record({
    breaks: fc.array(span, { maxLength: 2 }),
    benches: fc.integer({ min: 1, max: 3 }),
    helpers: fc.array(helper, { minLength: 1, maxLength: 4 }),
    stepMinutes: fc.constantFrom(10, 15, 30),
  })
  .map(({ helpers, ...rest }) => ({
    from: '09:00',
    until: '14:00',
    ...rest,
    helpers: helpers.map(([whole, part], i) => ({
      id: `h${i}`,
      name: `Helper ${i}`,
      ...(whole ? { from: '09:00', until: '14:00' } : part),
    })),
  }));
const cars = fc.array(fc.constantFrom(20, 30, 45, 60), { minLength: 1, maxLength: 14 });
const seeded = { seed: 26, numRuns: runs(300) };

function soundness(shape: CareDayShape, jobs: readonly Job[], rota: readonly Post[]): string[] {
  const faults: string[] = [];
  for (const [i, one] of rota.entries()) {
    const asked = jobs.find(({ id }) => id === one.id);
    const whom = shape.helpers.find(({ id }) => id === one.helperId);
    if (asked?.start !== one.start || one.end - one.start !== asked.minutes) faults.push('time');
    if (asked?.bench !== null && asked?.bench !== one.bench) faults.push('bench by hand');
    if (asked?.helperId !== null && asked?.helperId !== one.helperId) faults.push('helper by hand');
    if (one.bench < 1 || one.bench > shape.benches) faults.push('no such bench');
    if (whom === undefined || minutesAt(whom.from) > one.start || minutesAt(whom.until) < one.end) {
      faults.push('helper not there');
    }
    if (!stretchesOf(shape).some(([from, until]) => one.start >= from && one.end <= until)) {
      faults.push('outside the day');
    }
    for (const other of rota.slice(i + 1)) {
      if (other.start >= one.end || one.start >= other.end) continue;
      if (other.bench === one.bench) faults.push('two cars on a bench');
      if (other.helperId === one.helperId) faults.push('two jobs of a helper');
    }
  }
  if (rota.length !== jobs.length) faults.push('not all');
  return faults;
}

describe('any care day', () => {
  it('has no bench with two cars at once and no helper with two jobs, whatever is chosen', () => {
    fc.assert(
      fc.property(shapes, cars, fc.array(fc.nat(40)), (shape, minutes, picks) => {
        const jobs: Job[] = [];
        for (const [i, long] of minutes.entries()) {
          const free = freeStarts(shape, jobs, { id: `c${i}`, minutes: long });
          const pick = picks[i] ?? 0;
          const start = free[pick % Math.max(1, free.length)];
          if (start === undefined) continue;
          // Every third is put somewhere by hand, where that is possible.
          const plain = { id: `c${i}`, start, minutes: long, bench: null, helperId: null };
          const byHand = { ...plain, bench: 1 + (pick % shape.benches) };
          const pinned = pick % 3 === 0 && rotaOf(shape, [...jobs, byHand]) !== null;
          jobs.push(pinned ? byHand : plain);
          expect(soundness(shape, jobs, rotaOf(shape, jobs) ?? [])).toEqual([]);
        }
        expect(rotaOf(shape, jobs.toReversed())).toEqual(rotaOf(shape, jobs));
      }),
      seeded,
    );
  });

  it('proposes times that hold, and leaves out no car that would still have found one', () => {
    fc.assert(
      fc.property(shapes, cars, (shape, minutes) => {
        const wanting = minutes.map((long, i) => ({ id: `c${i}`, minutes: long }));
        const found = proposeTimes(shape, [], wanting);
        const jobs = wanting.flatMap(({ id, minutes: long }) => {
          const start = found.get(id);
          return start === undefined ? [] : [{ ...job(id, '09:00', long), start }];
        });
        expect(soundness(shape, jobs, rotaOf(shape, jobs) ?? [])).toEqual([]);
        for (const one of wanting.filter(({ id }) => !found.has(id))) {
          expect(freeStarts(shape, jobs, one)).toEqual([]);
        }
      }),
      seeded,
    );
  });

  // Brute force over all starts and orders; small, so that it ends.
  it('finds as many cars as there is room for where all helpers are there all day', () => {
    const few = fc.array(fc.constantFrom(30, 60), { minLength: 1, maxLength: 5 });
    fc.assert(
      fc.property(few, fc.integer({ min: 1, max: 2 }), (minutes, benches) => {
        const shape: CareDayShape = {
          from: '09:00',
          until: '11:00',
          breaks: [{ from: '10:00', until: '10:30' }],
          benches,
          helpers: ['ann', 'bob'].map((id) => ({ ...allDay(id) })),
          stepMinutes: 30,
        };
        const wanting = minutes.map((long, i) => ({ id: `c${i}`, minutes: long }));
        expect(proposeTimes(shape, [], wanting).size).toBe(most(shape, [], wanting));
      }),
      { seed: 26, numRuns: runs(60) },
    );
  });
});

function most(
  shape: CareDayShape,
  jobs: readonly Job[],
  wanting: readonly { readonly id: string; readonly minutes: number }[],
): number {
  const [one, ...rest] = wanting;
  if (one === undefined) return jobs.length;
  return freeStarts(shape, jobs, one).reduce(
    (best, start) =>
      Math.max(best, most(shape, [...jobs, { ...job(one.id, '09:00', one.minutes), start }], rest)),
    most(shape, jobs, rest),
  );
}
