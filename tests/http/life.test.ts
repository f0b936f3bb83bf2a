import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { turnbull } from '../../src/domain/statistics/turnbull.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

interface Life {
  readonly salt: string;
  /** Days after fitting on which the washer was last seen, and on which it was missed. */
  readonly seen: number;
  readonly lost?: number;
}

const LIVES: readonly Life[] = [
  { salt: 'by-sea', seen: 60, lost: 100 },
  { salt: 'by-sea', seen: 150, lost: 200 },
  { salt: 'by-sea', seen: 200, lost: 300 },
  { salt: 'by-sea', seen: 250, lost: 350 },
  { salt: 'none', seen: 300, lost: 400 },
  { salt: 'none', seen: 900 },
  { salt: 'none', seen: 1000 },
  { salt: 'none', seen: 1100 },
];
const INTERVALS = LIVES.map(({ seen, lost = null }) => ({ after: seen, by: lost }));

/** A shop with cars of one joint and one washer each. */
async function shopWithLives(lives: readonly Life[]): Promise<Workshop> {
  const shop = await openWorkshop('2026-06-08T08:00:00.000Z');
  const pivots = [{ code: 'L-MAIN', side: 'L', kind: 'main', washersExpected: 1 }];
  await shop.post('/v1/frame-patterns', { name: 'one-joint', pivots });
  for (const { salt, seen, lost } of lives) {
    const { topId } = await fitted(shop, {
      car: { keeping: { place: 'outdoors', salt, use: 'summer' } },
      top: { fittedOn: '2023-01-01', framePattern: 'one-joint' },
    });
    for (const [days, washersPresent] of lost === undefined
      ? [[seen, 1]]
      : [
          [seen, 1],
          [lost, 0],
        ]) {
      const doneOn = new Date(Date.UTC(2023, 0, 1 + days!)).toISOString().slice(0, 10);
      const reading = { pivot: 'L-MAIN', state: 'free', oiled: true, washersPresent };
      const visit = { kind: 'lubrication', doneOn, readings: [reading] };
      expect((await shop.post(`/v1/tops/${topId}/visits`, visit)).status).toBe(201);
    }
  }
  return shop;
}

describe('the life of a washer', () => {
  let shop: Workshop;
  beforeAll(async () => {
    shop = await shopWithLives(LIVES);
  });
  afterAll(() => shop.close());

  it('is Turnbull’s curve of the records, with the Weibull life that fits them', async () => {
    const life = (await shop.get('/v1/life?part=washer&by=pattern')).body;
    expect(life.groups).toHaveLength(1);
    const [group] = life.groups;
    expect(group).toMatchObject({ group: 'one-joint', washers: 8, failures: 5 });
    expect(group.steps).toEqual(turnbull(INTERVALS).steps);
    // By hand: two losses lie by day 200; the next three share the stretches up to 300 and up to 350
    // alike, 3/16 of all each, and 3/8 outlive every look (Turnbull 1976).
    const last = group.steps.findLast(({ by }: { by: number | null }) => by !== null);
    expect(last).toMatchObject({ after: 300, by: 350 });
    expect(last.share).toBeCloseTo(3 / 16, 6);
    expect(last.survival).toBeCloseTo(3 / 8, 6);
    expect(group.medianBetween).toEqual({ after: 300, by: 350 });
    expect(group.weibull).toMatchObject({ events: 5, n: 8, clusters: 8 });
    expect(group.band.at(-1)).toMatchObject({ time: 1183 });
    for (const { survival, low, high } of group.band) {
      expect(low).toBeLessThan(survival);
      expect(high).toBeGreaterThan(survival);
    }
    expect(group.weibull.shapeLow).toBeLessThan(group.weibull.shape);
    expect(group.weibull.shapeHigh).toBeGreaterThan(group.weibull.shape);
    expect(life.comparison).toBeNull();
    expect(life.because[0]).toBe('shop rule: no Weibull fit under 5 failures');
  });

  it('is not fitted under five failures, and compared where there are two groups', async () => {
    const life = (await shop.get('/v1/life?by=exposure')).body;
    expect(life.groups.map(({ group }: { group: string }) => group)).toEqual(['C3', 'C5']);
    expect(life.groups[0].weibull).toEqual({
      refused: expect.stringContaining('1 of 4 failed'),
      events: 1,
    });
    expect(life.groups[1].weibull.events).toBe(4);
    // By hand on Turnbull's curve of both (shares 1/8, 1/8, 3/16, 3/16, 3/8): the score of a life is
    // [S(L) ln S(L) - S(R) ln S(R)] / [S(L) - S(R)] (Finkelstein 1986), and C5 has the first four.
    const sln = (s: number) => (s === 0 ? 0 : s * Math.log(s));
    const score = (from: number, to: number) => (sln(from) - sln(to)) / (from - to);
    const scores = [
      score(1, 7 / 8),
      score(7 / 8, 6 / 8),
      score(6 / 8, 9 / 16),
      score(6 / 8, 3 / 8),
    ];
    const rest = [score(9 / 16, 3 / 8), ...Array.from({ length: 3 }, () => score(3 / 8, 0))];
    const excess = scores.reduce((sum, one) => sum + one, 0);
    const squares = [...scores, ...rest].reduce((sum, one) => sum + (one / 2) ** 2, 0);
    expect(life.comparison.chiSquare).toBeCloseTo(excess ** 2 / ((squares * 8) / 7), 3);
    expect(life.comparison.words).toMatch(
      new RegExp(`^C5: 4 washers lost against ${(4 - excess).toFixed(1)} `),
    );
    expect(life.note).toMatch(/only found at a visit/);
  });

  it('is empty for another organisation', async () => {
    const mine = shop.key;
    shop.key = await shop.keyFor('Another Club');
    expect((await shop.get('/v1/life')).body).toMatchObject({ groups: [], comparison: null });
    shop.key = mine;
  });

  it.each([
    ['?part=pin', 'part'],
    ['?by=colour', 'by'],
    ['?for=washer', 'for'],
  ])('is refused by field for %s', async (query, pointer) => {
    const answer = await shop.get(`/v1/life${query}`);
    expect(answer.status).toBe(400);
    expect(answer.body.errors[0].pointer).toBe(pointer);
  });
});
