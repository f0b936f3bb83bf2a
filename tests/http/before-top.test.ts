import { afterEach, expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

eachDatabase('an entry of a time before the top was fitted', ({ open }) => {
  let shop: Workshop;
  afterEach(() => shop.close());

  it('is refused where it is more than a year ago, and tells to check the year', async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    const { carId } = await fitted(shop, { top: { fittedOn: '2026-04-05' } });
    const log = (at: string) => shop.post(`/v1/cars/${carId}/position`, { position: 'folded', at });
    const refused = await log('1960-01-01T12:00:00Z');
    expect(refused.status).toBe(400);
    expect(refused.body.errors).toEqual([
      {
        pointer: '#/at',
        detail:
          'This car has had a top since 2026-04-05 by its record, and 1960-01-01 lies before that. Check the year, or put right when the top was fitted.',
      },
    ]);
    expect((await log('2025-06-11T12:00:00Z')).status).toBe(400);
    expect((await shop.get(`/v1/cars/${carId}/position-log`)).body.items).toEqual([]);
    // Before the top, yet within a year: whoever types a log off paper begins there.
    expect((await log('2025-06-12T12:00:00Z')).status).toBe(201);
  });

  it('is taken under the first top of the car, however long ago', async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    const { carId } = await fitted(shop, { top: { fittedOn: '2019-04-05' } });
    const said = { position: 'raised', at: '2019-05-01T12:00:00Z' };
    expect((await shop.post(`/v1/cars/${carId}/position`, said)).status).toBe(201);
  });
});
