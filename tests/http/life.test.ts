import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

/** A shop with cars of one joint and one washer each, every washer looked at once. */
async function shopWithLives(
  lives: readonly { salt: string; days: number; lost: boolean }[],
): Promise<Workshop> {
  const shop = await openWorkshop('2026-06-08T08:00:00.000Z');
  const pivots = [{ code: 'L-MAIN', side: 'L', kind: 'main', washersExpected: 1 }];
  await shop.post('/v1/frame-patterns', { name: 'one-joint', pivots });
  for (const { salt, days, lost } of lives) {
    const { topId } = await fitted(shop, {
      car: { keeping: { place: 'outdoors', salt, use: 'summer' } },
      top: { fittedOn: '2023-01-01', framePattern: 'one-joint' },
    });
    const doneOn = new Date(Date.UTC(2023, 0, 1 + days)).toISOString().slice(0, 10);
    const reading = { pivot: 'L-MAIN', state: 'free', oiled: true, washersPresent: lost ? 0 : 1 };
    const visit = { kind: 'lubrication', doneOn, readings: [reading] };
    expect((await shop.post(`/v1/tops/${topId}/visits`, visit)).status).toBe(201);
  }
  return shop;
}

describe('the life of a washer', () => {
  let shop: Workshop;
  beforeAll(async () => {
    shop = await shopWithLives([
      { salt: 'by-sea', days: 100, lost: true },
      { salt: 'by-sea', days: 200, lost: true },
      { salt: 'by-sea', days: 300, lost: true },
      { salt: 'by-sea', days: 350, lost: true },
      { salt: 'none', days: 400, lost: true },
      { salt: 'none', days: 900, lost: false },
      { salt: 'none', days: 1000, lost: false },
      { salt: 'none', days: 1100, lost: false },
    ]);
  });
  afterAll(() => shop.close());

  it('is the Kaplan–Meier curve of the records, with Greenwood’s error', async () => {
    const life = (await shop.get('/v1/life?part=washer&by=pattern')).body;
    expect(life.groups).toHaveLength(1);
    const [group] = life.groups;
    expect(group).toMatchObject({ group: 'one-joint', washers: 8, failures: 5 });
    // Eight at risk and no one censored before the last loss: the curve is k/8, its error the
    // binomial √(S(1 − S)/8) (Kaplan & Meier 1958 with Greenwood 1926).
    group.steps.forEach((step: Record<string, number>, i: number) => {
      const survival = (7 - i) / 8;
      expect(step).toMatchObject({ atRisk: 8 - i, events: 1 });
      expect(step['survival']).toBeCloseTo(survival, 12);
      expect(step['standardError']).toBeCloseTo(Math.sqrt((survival * (1 - survival)) / 8), 12);
    });
    expect(group.steps.map(({ time }: { time: number }) => time)).toEqual([
      100, 200, 300, 350, 400,
    ]);
    expect(group.medianDays).toBe(350);
    expect(group.weibull).toMatchObject({ events: 5, n: 8 });
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
    // Mantel's log-rank by hand: of the five losses C5 (first 4 of 8 at risk) expects
    // 4/8 + 3/7 + 2/6 + 1/5 + 0/4 of them; variance the sum of share × (1 − share).
    const shares = [4 / 8, 3 / 7, 2 / 6, 1 / 5];
    const expected = shares.reduce((sum, share) => sum + share, 0);
    const variance = shares.reduce((sum, share) => sum + share * (1 - share), 0);
    expect(life.comparison.chiSquare).toBeCloseTo((4 - expected) ** 2 / variance, 10);
    expect(life.comparison.words).toMatch(/^C5: 4 washers lost against 1\.5/);
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
