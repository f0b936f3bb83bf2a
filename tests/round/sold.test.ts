import { expect, it } from 'vitest';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import { deliverAll } from './deliver-all.ts';

/** What was written to the former owner about a car, and left, is news to whoever has bought it. */
eachDatabase('a car that is sold after letters about it have left', ({ open }) => {
  const buyer = { name: 'Bella Buyer', email: 'bella@example.org' };

  const dayOf = async (shop: Workshop, day: string) => {
    shop.setNow(`${day}T11:00:00.000Z`);
    await planRound(shop.context);
    const left = await deliverAll(shop);
    return left
      .filter(({ subject }) => subject.startsWith('FK 1'))
      .map(({ subject, to }) => `${to.split('@')[0]}: ${subject}`);
  };
  const sellTo = async (shop: Workshop, carId: string, ownerId: string) => {
    const sold = await shop.call('PATCH', `/v1/cars/${carId}`, { ownerId }, { 'if-match': '*' });
    expect(sold.status).toBe(200);
  };

  it('reminds the buyer of the oil, with the advice of the month, from the next round on', async () => {
    const shop = await open('2026-06-01T09:00:00.000Z');
    const owner = { name: 'Anna Seller', email: 'anna@example.org' };
    const { carId, ownerId } = await fitted(shop, { owner, top: { fittedOn: '2025-06-20' } });
    expect(await dayOf(shop, '2026-06-01')).toEqual(['anna: FK 1: the pivots want oil soon']);
    const bella = (await shop.post('/v1/owners', buyer)).body.id;
    await sellTo(shop, carId, bella);
    const forecast = await shop.get('/v1/forecast?from=2026-06-01&to=2026-06-30');
    expect(forecast.body.items[0]).toMatchObject({ kind: 'lubrication-ahead', ownerId: bella });
    expect(await dayOf(shop, '2026-06-03')).toEqual(['bella: FK 1: the pivots want oil soon']);
    expect(await dayOf(shop, '2026-06-04')).toEqual([]);
    expect(await dayOf(shop, '2026-06-20')).toEqual(['bella: FK 1: the pivots are due for oil']);
    // Taken back by the seller, nothing is said to her a second time.
    await sellTo(shop, carId, ownerId);
    expect(await dayOf(shop, '2026-06-21')).toEqual(['anna: FK 1: the pivots are due for oil']);
    expect(await dayOf(shop, '2026-06-22')).toEqual([]);
    await sellTo(shop, carId, bella);
    expect(await dayOf(shop, '2026-06-23')).toEqual([]);
    await shop.close();
  });

  it('tells the buyer of the visit that is booked, once, and nothing of what was done before', async () => {
    const shop = await open('2026-06-01T09:00:00.000Z');
    const owner = { name: 'Anna Seller', email: 'anna@example.org' };
    const { carId, topId, ownerId } = await fitted(shop, {
      owner,
      top: { fittedOn: '2025-06-20' },
    });
    const look = { kind: 'look', doneOn: '2026-05-30', readings: [] };
    const { body: done } = await shop.post(`/v1/tops/${topId}/visits`, look);
    const booking = { on: '2026-06-15', at: '09:00' };
    expect((await shop.post(`/v1/tops/${topId}/booking`, booking)).status).toBe(201);
    expect((await deliverAll(shop)).map(({ to }) => to)).toEqual([owner.email, owner.email]);
    const bella = (await shop.post('/v1/owners', buyer)).body.id;
    await sellTo(shop, carId, bella);
    expect(await deliverAll(shop)).toMatchObject([
      { to: buyer.email, subject: expect.stringContaining('your visit is booked') },
    ]);
    // The visit before her time, put right, is not reported to her.
    const words = { notes: 'A note put right.' };
    await shop.call('PATCH', `/v1/visits/${done.id}`, words, { 'if-match': '*' });
    expect(await deliverAll(shop)).toEqual([]);
    await sellTo(shop, carId, ownerId);
    expect(await deliverAll(shop)).toEqual([]);
    await shop.close();
  });
});
