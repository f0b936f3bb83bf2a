import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { addDays } from '../../../src/domain/calendar/day.ts';
import { offerWeeks } from '../../../src/domain/bench/offers.ts';
import type { OfferableWeek } from '../../../src/domain/bench/offers.ts';

/** Weeks of ten places from Monday 2 March 2026 on, open on Mondays, with this much room. */
function weeks(...rooms: number[]): OfferableWeek[] {
  return rooms.map((room, i) => ({
    id: i + 1,
    capacity: 10,
    room,
    openDays: [addDays('2026-03-02', i * 7)],
  }));
}

describe('weeks offered to an owner', () => {
  test('one from each third of the window, the quietest of it, quiet ones first', () => {
    expect(offerWeeks(weeks(9, 10, 8, 4, 5, 6), 4, [], 3)).toEqual({ weeks: [2, 3, 6] });
  });

  test('a third without room leaves its turn to the quietest that remain', () => {
    expect(offerWeeks(weeks(10, 9, 0, 0, 5, 6), 4, [], 3)).toEqual({ weeks: [1, 2, 6] });
  });

  test('fewer where fewer exist', () => {
    expect(offerWeeks(weeks(3, 4, 3), 4, [], 3)).toEqual({ weeks: [2] });
  });

  test('weeks in which the owner is away on every open day are left out', () => {
    const away = [{ from: '2026-03-01', to: '2026-03-09' }];
    expect(offerWeeks(weeks(10, 10, 5), 4, away, 3)).toEqual({ weeks: [3] });
    const week = { id: 'w', capacity: 10, room: 5, openDays: ['2026-03-09', '2026-03-10'] };
    expect(offerWeeks([week], 4, away, 3)).toEqual({ weeks: ['w'] });
  });

  test.each([
    ['the due window has no week in the diary', [], []],
    [
      'the shop is closed in every week of the due window',
      [{ id: 1, capacity: 0, room: 0, openDays: [] }],
      [],
    ],
    ['no week of the due window has 2 hours of bench left', weeks(3, 2), []],
    [
      'the owner is away in every week of the due window that has room',
      weeks(9, 9),
      [{ from: '2026-03-01', to: '2026-03-31' }],
    ],
  ])('with none, the reason: %s', (because, window, away) => {
    expect(offerWeeks(window, 4, away, 3)).toEqual({ weeks: [], because });
  });

  test('as many as asked for or as there are, each once, all with room', () => {
    const drawn = fc.array(fc.integer({ min: 0, max: 10 }), { maxLength: 4 });
    fc.assert(
      fc.property(drawn, fc.integer({ min: 1, max: 4 }), (rooms, count) => {
        const offered = offerWeeks(weeks(...rooms), 4, [], count).weeks;
        const possible = rooms.filter((room) => room >= 4).length;
        expect(new Set(offered).size).toBe(Math.min(count, possible));
        expect(offered.every((id) => (rooms[Number(id) - 1] ?? 0) >= 4)).toBe(true);
      }),
    );
  });
});
