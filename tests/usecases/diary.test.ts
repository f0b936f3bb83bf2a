import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { figuresFor } from '../../src/domain/figure-tables/figure-tables.ts';
import { Refused } from '../../src/domain/refusal.ts';
import type { DiaryCalendar } from '../../src/usecases/bench/diary-calendar.ts';
import { calendarWeeks } from '../../src/usecases/bench/diary-calendar.ts';
import {
  daysWithRoom,
  mondayAsked,
  roomForVisit,
  roomOfDays,
} from '../../src/usecases/bench/diary-days.ts';
import type { DiaryVisit } from '../../src/usecases/bench/diary-visits.ts';
import { weeksToOffer } from '../../src/usecases/bench/offer-weeks.ts';

const calendar: DiaryCalendar = {
  now: '2026-06-10T08:00:00.000Z',
  organisationId: 'o',
  today: '2026-06-10',
  clock: '09:00',
  timeZone: 'Europe/London',
  weekdays: [1, 2, 3],
  hours: {},
  closures: [{ from: '2026-06-16', to: '2026-06-16', words: 'stocktaking' }],
  ownClosures: [],
  holidays: [],
  place: null,
  takesBookings: true,
  ownBookings: null,
  bench: {
    ...figuresFor('bench'),
    minutesPerDay: 240,
    slackSummerPct: 0,
    slackElsePct: 0,
  },
  due: figuresFor('due'),
  look: figuresFor('look'),
  version: 1,
};

function booked(on: string, places: number): DiaryVisit {
  const top = {
    topId: 't',
    carId: 'c',
    registration: 'FK 1',
    ownerId: 'o',
    ownerName: 'Ada Quill',
    framePattern: 'four-seat-manual',
    material: 'cloth' as const,
    powered: false,
    fittedOn: '2025-01-01',
    retiredOn: null,
    lubricatedOn: null,
    intervalMonths: 12,
    dueOn: '2026-01-01',
    lookAfterOn: null,
  };
  const length = { minutes: places * 30, places, because: '' };
  return { id: on, top, kind: 'lubrication', on, dueOn: null, earliest: '', latest: '', ...length };
}

function week(monday: string) {
  const [found] = calendarWeeks(calendar, monday, 1);
  if (found === undefined) throw new Error('no week');
  return found;
}

const why = (context: () => unknown): string => {
  try {
    context();
  } catch (fault) {
    if (fault instanceof Refused) return `${fault.refusal.kind}: ${fault.message}`;
  }
  return 'no refusal';
};

describe('the weeks of the calendar', () => {
  it('leave out days that are over this week, and closures in any', () => {
    const [current, next] = calendarWeeks(calendar, '2026-06-10', 2);
    expect(current).toMatchObject({ id: '2026-W24', openDays: ['2026-06-10'], capacity: 8 });
    expect(next).toMatchObject({
      openDays: ['2026-06-15', '2026-06-17'],
      capacity: 16,
      closures: [{ words: 'stocktaking' }],
    });
  });

  it('stand as they were where they are over', () => {
    expect(week('2026-06-01').openDays).toHaveLength(3);
  });
});

describe('the day for a visit', () => {
  it('is the open day with the most room, the first of equal ones', () => {
    const next = week('2026-06-15');
    expect(daysWithRoom(calendar, next, [], 4, {})[0]).toBe('2026-06-15');
    expect(daysWithRoom(calendar, next, [booked('2026-06-15', 1)], 4, {})[0]).toBe('2026-06-17');
    expect(daysWithRoom(calendar, next, [booked('2026-06-17', 8)], 8, {})[0]).toBe('2026-06-15');
  });

  it('has to hold the visit in one piece, unless no day could', () => {
    const next = week('2026-06-15');
    const both = [booked('2026-06-15', 5), booked('2026-06-17', 5)];
    expect(why(() => daysWithRoom(calendar, next, both, 4, {})[0])).toBe(
      'conflict: No day of week 25 of 2026 has more than 1½ h of bench left; this visit takes 2 h. GET /v1/diary shows where there is room.',
    );
    expect(daysWithRoom(calendar, next, [booked('2026-06-15', 4)], 10, {})[0]).toBe('2026-06-17');
    expect(why(() => daysWithRoom(calendar, next, both, 10, {})[0])).toMatch(/^conflict: Week 25/);
  });

  it('is refused where the shop is shut, with the words of the closure', () => {
    expect(
      why(() => daysWithRoom(calendar, week('2026-06-15'), [], 4, { on: '2026-06-16' })[0]),
    ).toBe('invalid: #/on: The shop is closed on 2026-06-16: stocktaking. Choose another.');
  });

  it('lies neither in the past nor beyond the diary', () => {
    expect(mondayAsked({ week: '2026-W24' }, calendar.today)).toBe('2026-06-08');
    expect(mondayAsked({ on: '2026-06-10' }, calendar.today)).toBe('2026-06-08');
    expect(why(() => mondayAsked({ on: '2026-06-09' }, calendar.today))).toMatch(/#\/on: .* over/);
    expect(mondayAsked({ week: '2028-W23' }, calendar.today)).toBe('2028-06-05');
    expect(why(() => mondayAsked({ week: '2028-W24' }, calendar.today))).toMatch(/#\/week/);
    expect(why(() => mondayAsked({ week: '2025-W53' }, calendar.today))).toMatch(/exists/);
  });
});

describe('the room of days', () => {
  const days = ['2026-06-15', '2026-06-17', '2026-06-18'];

  it('is used up by what runs on from the day before, never by what comes after', () => {
    expect([...roomOfDays(days, 8, [booked('2026-06-15', 10)]).values()]).toEqual([0, 6, 8]);
    expect([...roomOfDays(days, 8, [booked('2026-06-18', 10)]).values()]).toEqual([8, 8, 0]);
    // A booking on a day that is shut now takes no open day's room.
    expect([...roomOfDays(days, 8, [booked('2026-06-16', 4)]).values()]).toEqual([8, 8, 8]);
  });

  it('is what the bookings leave while each day holds its own', () => {
    const visits = fc.array(fc.tuple(fc.constantFrom(...days), fc.integer({ min: 1, max: 8 })), {
      maxLength: 6,
    });
    fc.assert(
      fc.property(visits, (list) => {
        const room = roomOfDays(
          days,
          8,
          list.map(([on, places]) => booked(on, places)),
        );
        const left = [...room.values()];
        for (const places of left) expect(places >= 0 && places <= 8).toBe(true);
        const perDay = days.map((day) =>
          list.reduce((sum, [on, places]) => sum + (on === day ? places : 0), 0),
        );
        fc.pre(perDay.every((places) => places <= 8));
        expect(left).toEqual(perDay.map((places) => 8 - places));
      }),
    );
  });
});

describe('the weeks to offer', () => {
  const weeks = calendarWeeks({ ...calendar, closures: [] }, '2026-06-15', 6);
  const visit = { places: 4, earliest: '2026-W25', latest: '2026-W28', planned: null };
  const ids = (room: number[], about = {}) => weeksToOffer({ ...visit, ...about }, weeks, room, 3);

  it('are three of the due window, the planned one among them, in order', () => {
    expect(ids([24, 24, 24, 24, 24, 24], { planned: '2026-W27' })).toHaveLength(3);
    expect(ids([24, 24, 24, 24, 24, 24], { planned: '2026-W27' })).toContain('2026-W27');
    expect(ids([4, 0, 24, 4, 24, 24])).toEqual(['2026-W25', '2026-W27', '2026-W28']);
  });

  it('lie behind the window only where it has too few left', () => {
    expect(ids([4, 0, 24, 3, 24, 24])).toEqual(['2026-W25', '2026-W27', '2026-W29']);
    expect(ids([0, 0, 0, 3, 24, 3])).toEqual(['2026-W29']);
    expect(ids([0, 0, 0, 3, 0, 24], { planned: '2026-W29' })).toEqual(['2026-W29', '2026-W30']);
    expect(ids([0, 0, 0, 0, 0, 0])).toEqual([]);
  });
});

describe('the room that a week has for a visit', () => {
  it('is none where no day could hold it in one piece, since it could not be booked', () => {
    const next = week('2026-06-15');
    const both = [booked('2026-06-15', 5), booked('2026-06-17', 5)];
    expect(roomForVisit(calendar, next, both, 3)).toBe(6);
    expect(roomForVisit(calendar, next, both, 4)).toBe(0);
    expect(roomForVisit(calendar, next, [booked('2026-06-15', 4)], 10)).toBe(12);
    expect(roomForVisit(calendar, { ...next, openDays: [], capacity: 0 }, [], 1)).toBe(0);
  });
});
