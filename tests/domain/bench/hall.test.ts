import { describe, expect, test } from 'vitest';
import { jamSentence, jamsOf, weeksInWords, worstJams } from '../../../src/domain/bench/hall.ts';
import { readHorizon } from '../../../src/domain/bench/horizon.ts';
import { jamsByCounting } from './oracle.ts';

const EIGHT = [
  ['A', 1, 1],
  ['B', 1, 2],
  ['C', 1, 2],
  ['D', 2, 3],
  ['E', 1, 4],
  ['F', 3, 3],
  ['G', 2, 3],
  ['H', 4, 4],
] as const;
const WEEKS = [1, 2, 3, 4];

function visitsOf(list: readonly (readonly [string, number, number])[], places = 1) {
  return list.map(([id, earliest, latest]) => ({ id, places, earliest, latest }));
}

function weeksOf(...capacities: number[]) {
  return capacities.map((capacity, i) => ({ id: i + 1, capacity }));
}

function jams(...input: Parameters<typeof readHorizon>) {
  return jamsOf(readHorizon(...input)).jams;
}

describe("Hall's condition on windows of weeks (Hall 1935; own instance, sets computed)", () => {
  test('holds for eight visits with two places a week', () => {
    expect(jams(weeksOf(2, 2, 2, 2), visitsOf(EIGHT))).toEqual([]);
  });

  test('with one place in week 2, weeks 1–3 and 1–4 are jammed', () => {
    expect(jams(weeksOf(2, 1, 2, 2), visitsOf(EIGHT))).toEqual([
      { from: 1, to: 3, need: 6, room: 5 },
      { from: 1, to: 4, need: 8, room: 7 },
    ]);
  });

  test('with ten visits, two more in weeks 2–3, three runs are jammed', () => {
    const ten = [...EIGHT, ['I', 2, 3], ['J', 2, 3]] as const;
    const found = jams(weeksOf(2, 2, 2, 2), visitsOf(ten));
    expect(found).toEqual([
      { from: 2, to: 3, need: 5, room: 4 },
      { from: 1, to: 3, need: 8, room: 6 },
      { from: 1, to: 4, need: 10, room: 8 },
    ]);
    expect(worstJams(found, WEEKS)).toEqual([found[1], found[0]]);
    expect(worstJams(found, WEEKS, 1)).toEqual([found[1]]);
  });

  test('agrees with plain counting over every pair of weeks', () => {
    let state = 3;
    const random = (below: number) => {
      state = (Math.imul(state, 1103515245) + 12345) >>> 0;
      return Math.floor((state / 2 ** 32) * below);
    };
    let jammed = 0;
    for (let run = 0; run < 200; run += 1) {
      const weeks = weeksOf(...Array.from({ length: 1 + random(6) }, () => random(4)));
      const visits = Array.from({ length: random(12) }, (_, id) => {
        const earliest = 1 + random(weeks.length);
        const latest = earliest + random(weeks.length - earliest + 1);
        return { id, places: 1, earliest, latest };
      });
      const counted = jamsByCounting(weeks, visits);
      const found = jams(weeks, visits);
      jammed += found.length;
      expect(found).toHaveLength(counted.length);
      expect(found).toEqual(expect.arrayContaining(counted));
    }
    expect(jammed).toBeGreaterThan(100);
  });

  test('counts visits where they are alike, with what a week really holds of them', () => {
    const two = visitsOf(
      [
        ['a', 1, 2],
        ['b', 1, 2],
      ],
      4,
    );
    expect(jams(weeksOf(7, 3), two)).toEqual([{ from: 1, to: 2, need: 2, room: 1 }]);
  });

  test('counts places where lengths differ', () => {
    const visits = [
      { id: 'long', places: 8, earliest: 1, latest: 1 },
      { id: 'short', places: 1, earliest: 1, latest: 1 },
    ];
    expect(jams(weeksOf(8), visits)).toEqual([{ from: 1, to: 1, need: 9, room: 8 }]);
  });

  test('what is booked takes its room first', () => {
    const visits = [
      { id: 'booked', places: 1, earliest: 1, latest: 1, fixed: 1 },
      { id: 'a', places: 1, earliest: 1, latest: 1 },
    ];
    expect(jams(weeksOf(1), visits)).toEqual([{ from: 1, to: 1, need: 1, room: 0 }]);
  });
});

describe('jams worth showing', () => {
  test('two shortages far apart are both shown, wider runs around them are not', () => {
    const found = jams(
      weeksOf(1, 1, 1, 1, 1),
      visitsOf([
        ['a', 1, 1],
        ['b', 1, 1],
        ['c', 5, 5],
        ['d', 5, 5],
        ['e', 3, 3],
      ]),
    );
    expect(worstJams(found, [1, 2, 3, 4, 5])).toEqual([
      { from: 1, to: 1, need: 2, room: 1 },
      { from: 5, to: 5, need: 2, room: 1 },
    ]);
  });

  test.each([
    [{ from: 22, to: 23, need: 5, room: 4 }, 'weeks 22–23: 5 visits must fit, room for 4'],
    [{ from: 22, to: 22, need: 1, room: 0 }, 'week 22: 1 visit must fit, no room'],
    [
      { from: '2026-W22', to: '2026-W23', need: 5, room: 4 },
      'weeks 22–23 of 2026: 5 visits must fit, room for 4',
    ],
  ])('in words: %o', (jam, sentence) => {
    expect(jamSentence(jam)).toBe(sentence);
  });

  test('in words where lengths differ', () => {
    const jam = { from: 2, to: 3, need: 9, room: 8 };
    expect(jamSentence(jam, 'places')).toBe(
      'weeks 2–3: visits of 9 half hours in all must fit, room for 8',
    );
  });

  test('weeks over the turn of the year', () => {
    expect(weeksInWords('2026-W53', '2027-W01')).toBe('weeks 53 of 2026 – 1 of 2027');
    expect(weeksInWords('2026-W05', '2026-W05')).toBe('week 5 of 2026');
  });
});
