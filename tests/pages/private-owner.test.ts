import { afterEach, beforeEach, expect, it } from 'vitest';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { openDesk, wordsOf } from './desk.ts';

const POST = { postalAddress: '1 Hem Lane', postcode: 'HM1 1AA', phone: '01632 960001' };

let shop: Workshop;
let desk: Desk;
let car: CarAndTop;
let asked: string;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  const me = { kind: 'private', name: 'Ada Quill' };
  await shop.call('PATCH', '/v1/organisation', me, { 'if-match': '*' });
  desk = await openDesk(shop);
  asked = (await desk.open('/new')).html;
  car = await fitted(shop, { top: { fittedOn: '2021-03-10' } });
});
afterEach(() => shop.close());

const words = async (path: string) => wordsOf((await desk.open(path)).html);

it('is written to about oil that is years late, as somebody who keeps the own dates', async () => {
  await shop.post('/v1/round', { at: '2026-06-12T09:00:00.000Z' });
  const { items } = (await shop.get(`/v1/letters?carId=${car.carId}`)).body;
  expect(items.map(({ kind }: { kind: string }) => kind)).toEqual(['lubrication-late']);
  expect(items[0].text).toContain(
    'You get this letter because you keep the care dates of your own car and asked to be reminded',
  );
  expect(items[0].text).not.toContain('kept at Ada Quill');
});

it('is offered nothing on the pages that one does with customers', async () => {
  const page = await words(`/cars/${car.carId}`);
  expect(page).not.toMatch(/Note a call|Book a visit|Estimates|Ring/);
  expect(page).toContain('FK 1');
  const own = await words(`/owners/${car.ownerId}`);
  expect(own).not.toMatch(/[Cc]alls/);
  const path = `/owners/${car.ownerId}`;
  await shop.call('PATCH', `/v1/owners/${car.ownerId}`, POST, { 'if-match': '*' });
  const mine = await desk.open(path);
  expect(mine.html).not.toMatch(/name="(?:postalAddress|postcode)"|href="tel:/);
  // It stands in what was changed, and nowhere else; what is not asked is not lost.
  expect(wordsOf(mine.html.split('id="changes"')[0] ?? '')).not.toContain('1 Hem Lane');
  expect((await desk.send(mine, path, { name: 'Ada Q.' })).status).toBe(303);
  expect((await shop.get(`/v1/owners/${car.ownerId}`)).body).toMatchObject({
    ...POST,
    name: 'Ada Q.',
  });
  expect(asked).toContain('name="owner/email"');
  expect(asked).not.toMatch(/name="owner\/(?:postalAddress|postcode|refusesCalls)"/);
});

it('is told that the record is hers where she says who sees it, not that she works for herself', async () => {
  const page = await words('/mine/sharing');
  expect(page).toContain('This record is yours.');
  expect(page).not.toContain('does the work on your top');
});

it('logs where a new top stands by one press, whichever it is, and then the other', async () => {
  const action = `/mine/cars/${car.carId}/position`;
  const buttons = async () =>
    [...(await desk.open('/mine')).html.matchAll(/class="button big">(I (?:raised|folded) it)</g)]
      .map(([, said]) => said)
      .join(', ');
  expect(await buttons()).toBe('I folded it, I raised it');
  expect((await desk.send(await desk.open('/mine'), action)).status).toBe(303);
  expect((await shop.get(`/v1/cars/${car.carId}/position`)).body.position).toBe('folded');
  expect(await buttons()).toBe('I raised it');
});
