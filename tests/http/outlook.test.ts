import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

let shop: Workshop;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-08T08:00:00.000Z');
});
afterEach(() => shop.close());

describe('the outlook of the practice', () => {
  it('goes by the tops fitted a year and the return that was seen', async () => {
    for (const came of [true, true, true, false]) {
      const { topId } = await fitted(shop, { top: { fittedOn: '2024-06-20' } });
      if (!came) continue;
      const visit = { kind: 'lubrication', doneOn: '2025-06-25' };
      expect((await shop.post(`/v1/tops/${topId}/visits`, visit)).status).toBe(201);
    }
    await fitted(shop, { top: { fittedOn: '2025-09-01' } });
    await fitted(shop, { top: { fittedOn: '2025-09-02' } });
    const { body, status } = await shop.get('/v1/outlook?years=2');
    expect(status).toBe(200);
    expect(body).toMatchObject({
      fittedPerYear: 2,
      fittedYears: [{ from: '2025-06-08', to: '2026-06-07', fitted: 2 }],
      inCareNow: 5,
      observed: { due: 4, came: 3 },
      basis: 'observed',
      visitsPerCar: 1,
    });
    // Wilson's interval for 3 of 4 at 95 % (Wilson 1927): 0.3006 to 0.9544.
    expect(body.yearlyReturn.value).toBe(0.75);
    expect(body.yearlyReturn.low).toBeCloseTo(0.3006, 4);
    expect(body.yearlyReturn.high).toBeCloseTo(0.9544, 4);
    // 5 × 0.75 + 2 fitted, and so on; over 32 usable weeks.
    expect(body.years[0].cars.value).toBeCloseTo(5.75, 12);
    expect(body.years[1].cars.value).toBeCloseTo(5.75 * 0.75 + 2, 12);
    expect(body.years[0].visitsPerWeek.value).toBeCloseTo(5.75 / 32, 12);
    expect(body.because).toContainEqual(expect.stringContaining('3 of 4 owners due came again'));
    expect(body.because).toContainEqual(expect.stringMatching(/^shop rule: 32 weeks/));
  });

  it('falls back on the shop rule, and says so, where nobody was due yet', async () => {
    await fitted(shop, { top: { fittedOn: '2026-05-01' } });
    const { body } = await shop.get('/v1/outlook');
    expect(body).toMatchObject({ basis: 'shop rule', fittedPerYear: 1, inCareNow: 1 });
    expect(body.years).toHaveLength(5);
    expect(body.because[0]).toMatch(/shop rule 60 % a year/);
    shop.key = await shop.keyFor('Another Club');
    expect((await shop.get('/v1/outlook')).body).toMatchObject({ fittedPerYear: 0, inCareNow: 0 });
  });

  it.each(['0', '31', '1.5', 'ten'])('is not given for %s years', async (years) => {
    const answer = await shop.get(`/v1/outlook?years=${years}`);
    expect(answer.status).toBe(400);
    expect(answer.body.errors[0].pointer).toBe('years');
  });
});
