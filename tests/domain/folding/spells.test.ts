import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { spells } from '../../../src/domain/folding/spells.ts';
import { anyLog, folded, instantOf, raised, TWO_WEEKS, underHardTop } from './arbitrary-log.ts';

const day = (n: number) => new Date(Date.UTC(2026, 0, 1) + n * 86_400_000).toISOString();
const WINDOW = [day(0), day(30)] as const;

const number = (at: string) => (Date.parse(at) - Date.parse(day(0))) / 86_400_000;

const foldedDays = (entries: Parameters<typeof spells>[0]) => {
  const { items, foldedHours, longestFoldedHours } = spells(entries, ...WINDOW);
  return {
    union: items
      .filter(({ position }) => position === 'folded')
      .map(({ from, to }) => [number(from), number(to)]),
    total: foldedHours / 24,
    longest: longestFoldedHours / 24,
  };
};

const log = (intervals: number[][]) =>
  intervals.flatMap(([from = 0, to = 0]) => [folded(day(from)), raised(day(to))]);

describe('folded spells', () => {
  // Unions of intervals in days (own rows, computed): those that a log can hold, which are the ones
  // whose intervals touch but do not overlap.
  it.each([
    [
      [
        [1, 4],
        [4, 5],
      ],
      [[1, 5]],
      4,
      4,
    ],
    [
      [
        [1, 4],
        [2, 2],
        [3, 3],
      ],
      [[1, 4]],
      3,
      3,
    ],
    [
      [
        [0, 3],
        [3, 5],
        [7, 9],
      ],
      [
        [0, 5],
        [7, 9],
      ],
      7,
      5,
    ],
    [
      [
        [1, 6],
        [8, 10],
        [15, 18],
      ],
      [
        [1, 6],
        [8, 10],
        [15, 18],
      ],
      10,
      5,
    ],
  ])('%j are %j', (intervals, union, total, longest) => {
    expect(foldedDays(log(intervals))).toEqual({ union, total, longest });
  });

  it('have no length where a top goes down and up in one instant', () => {
    const entries = [
      raised(day(0)),
      ...log([
        [1, 1],
        [2, 5],
      ]),
    ];
    expect(foldedDays(entries)).toEqual({ union: [[2, 5]], total: 3, longest: 3 });
  });

  it('leave out time under the hard top', () => {
    const entries = [folded(day(1)), underHardTop(day(2)), folded(day(10)), raised(day(13))];
    expect(foldedDays(entries)).toEqual({
      union: [
        [1, 2],
        [10, 13],
      ],
      total: 4,
      longest: 3,
    });
  });

  it('count the real hours of a change of the clocks', () => {
    // 18:00 to 18:00 in London on 28 and 31 March 2026: 71 hours (computed).
    const entries = [folded('2026-03-28T18:00:00Z'), raised('2026-03-31T18:00:00+01:00')];
    expect(spells(entries, day(0), day(200)).foldedHours).toBe(71);
  });
});

describe('spells of a time', () => {
  it('are cut off at both ends, and the last one lasts until the end', () => {
    const entries = [folded(day(-5)), raised(day(3)), folded(day(29))];
    expect(spells(entries, ...WINDOW)).toEqual({
      items: [
        { position: 'folded', from: day(0), to: day(3) },
        { position: 'raised', from: day(3), to: day(29) },
        { position: 'folded', from: day(29), to: day(30) },
      ],
      longestFoldedHours: 72,
      foldedHours: 96,
    });
  });

  it('do not list what is unknown or outside', () => {
    expect(spells([], ...WINDOW)).toEqual({ items: [], longestFoldedHours: 0, foldedHours: 0 });
    const entries = [folded(day(10)), raised(day(30)), folded(day(31))];
    expect(spells(entries, ...WINDOW).items).toEqual([
      { position: 'folded', from: day(10), to: day(30) },
    ]);
    expect(spells(entries, day(5), day(5)).items).toEqual([]);
  });

  it('make one of repeated positions', () => {
    const entries = [
      folded(day(1)),
      folded(day(2), { damp: true }),
      folded(day(3)),
      raised(day(4)),
    ];
    expect(spells(entries, ...WINDOW).items[0]).toEqual({
      position: 'folded',
      from: day(1),
      to: day(4),
    });
  });

  it('fill the time from the first entry on without gap or overlap, and take turns', () => {
    fc.assert(
      fc.property(anyLog, (entries) => {
        const to = instantOf(TWO_WEEKS + 1);
        const { items, foldedHours, longestFoldedHours } = spells(entries, instantOf(-1), to);
        const noted = entries.filter(({ withdrawn }) => withdrawn !== true).map(({ at }) => at);
        const ends = [noted.sort()[0] ?? to, ...items.map((item) => item.to)];
        expect(items.map(({ from }) => from)).toEqual(ends.slice(0, -1));
        expect(ends.at(-1)).toBe(to);
        expect(items.filter(({ position }, i) => position === items[i + 1]?.position)).toEqual([]);
        const hours = items
          .filter(({ position }) => position === 'folded')
          .map((item) => (Date.parse(item.to) - Date.parse(item.from)) / 3_600_000);
        expect(foldedHours).toBeCloseTo(
          hours.reduce((sum, h) => sum + h, 0),
          9,
        );
        expect(longestFoldedHours).toBe(Math.max(0, ...hours));
      }),
    );
  });
});
