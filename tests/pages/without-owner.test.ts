import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { openDesk, wordsOf } from './desk.ts';
import { wholeDatabase } from './link-for.ts';

let shop: Workshop;
let desk: Desk;
let ids: CarAndTop;
let estimate: string;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  desk = await openDesk(shop);
  ids = await fitted(shop, { top: { fittedOn: '2025-06-10' } });
  await shop.post(`/v1/tops/${ids.topId}/visits`, {
    kind: 'look',
    doneOn: '2026-06-11',
    readings: [{ pivot: 'L-MAIN', state: 'stiff', oiled: false }],
    findings: [{ fault: 'pivot-stiff', pivot: 'L-MAIN', text: 'stiff', outcome: 'accepted' }],
  });
  const prices = '/settings/prices';
  await desk.send(await desk.open(prices), prices, { currency: 'EUR', hourRate: '80' });
  const work = await desk.open(`/cars/${ids.carId}/work`);
  const made = await desk.send(work, `/cars/${ids.carId}/estimates`);
  estimate = String(made.headers.location).replace('?done=made', '');
});
afterEach(() => shop.close());

const erase = () =>
  shop.call('DELETE', `/v1/owners/${ids.ownerId}`, undefined, { 'if-match': '*' });
const pages = () => [
  `/cars/${ids.carId}`,
  `/tops/${ids.topId}`,
  `/tops/${ids.topId}/booking`,
  `/cars/${ids.carId}/work`,
  estimate,
];
const give = () => `href="/cars/${ids.carId}/change#sold"`;

describe('a car whose owner was erased', () => {
  it('says so on its pages, leads to its new owner, and offers nothing that would be written to nobody', async () => {
    for (const page of pages()) {
      const { status, html } = await desk.open(page);
      expect([page, status, html.includes(give())]).toEqual([page, 200, false]);
    }
    await erase();
    for (const page of pages()) {
      const { status, html } = await desk.open(page);
      expect([page, status]).toEqual([page, 200]);
      expect(wordsOf(html)).toContain('nobody can be written to about this car');
      expect(html).toContain(give());
      expect(html).not.toMatch(/href="\/tops\/[\w-]+\/booking/);
      expect(html).not.toMatch(/action="[^"]*\/(?:booking|estimates|send)"/);
    }
    const change = (await desk.open(`/cars/${ids.carId}/change`)).html;
    expect(change).toMatch(/<details class="sheet" id="sold" open>/);
    // What is done on the car is recorded as before.
    expect((await desk.open(`/tops/${ids.topId}/visit`)).status).toBe(200);
    const reader = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops', 'read'));
    const read = (await reader.open(`/cars/${ids.carId}`)).html;
    expect(wordsOf(read)).toContain('nobody can be written to about this car');
    expect(read).not.toContain(give());
  });

  it('is refused a booking and an estimate with words, and has both again with its new owner', async () => {
    const booking = `/tops/${ids.topId}/booking`;
    const open = await Promise.all([
      desk.open(booking),
      desk.open(`/cars/${ids.carId}/work`),
      desk.open(estimate),
    ]);
    await erase();
    const stood = await wholeDatabase(shop);
    const [booked, worked, sent] = open;
    const refused = [
      await desk.send(booked, booking, { on: '30 Jun 2026' }),
      await desk.send(worked, `/cars/${ids.carId}/estimates`),
      await desk.send(sent, `${estimate}/send`),
    ];
    for (const { status, html } of refused) {
      expect(status).toBe(409);
      expect(wordsOf(html)).toContain('Give the car to its new owner first.');
    }
    const visit = { kind: 'lubrication', plannedOn: '2026-06-30' };
    const asked = await shop.post(`/v1/tops/${ids.topId}/visits`, visit);
    expect([asked.status, asked.body.detail]).toEqual([
      409,
      expect.stringContaining('The owner of this car was erased'),
    ]);
    expect(await wholeDatabase(shop)).toBe(stood);
    const done = { kind: 'lubrication', doneOn: '2026-06-12' };
    expect((await shop.post(`/v1/tops/${ids.topId}/visits`, done)).status).toBe(201);

    const sold = `/cars/${ids.carId}/sold`;
    const buyer = { 'owner/name': 'Bea Fold', 'owner/email': 'bea@example.org' };
    const sure = await desk.send(await desk.open(`/cars/${ids.carId}/change`), sold, buyer);
    const given = await desk.send(sure, sold);
    expect(given.headers.location).toBe(`/cars/${ids.carId}?done=sold`);
    const again = (await desk.open(`/cars/${ids.carId}`)).html;
    expect(again).not.toContain(give());
    expect(again).toContain(`href="${booking}"`);
    expect((await shop.post(`/v1/tops/${ids.topId}/visits`, visit)).status).toBe(201);
  });
});
