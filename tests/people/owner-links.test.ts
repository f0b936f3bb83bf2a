import { expect, it } from 'vitest';
import { addHours } from '../../src/domain/calendar/instant.ts';
import { openDesk } from '../pages/desk.ts';
import { browse } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

const NOW = '2026-06-12T09:00:00.000Z';
const afterDays = (days: number) => addHours(NOW, days * 24);
const status = async (shop: Workshop, url: string) =>
  (await browse(shop, 'GET', url.replace('https://care.example.org', ''))).status;

eachDatabase('links of an owner', ({ open }) => {
  const opened = async () => open(NOW);

  it('end by themselves, but for those that stop letters', async () => {
    const shop = await opened();
    await fitted(shop, { top: { fittedOn: '2025-06-12' } });
    const { body } = await shop.post('/v1/round', {});
    const page = /https:\S+\/o\/[\w-]{43}/.exec(body.letters[0].text)?.[0] ?? '';
    const stop = /https:\S+\/u\/[\w-]{43}/.exec(body.letters[0].text)?.[0] ?? '';
    shop.setNow(afterDays(399));
    expect([await status(shop, page), await status(shop, stop)]).toEqual([200, 200]);
    shop.setNow(afterDays(400));
    expect([await status(shop, page), await status(shop, stop)]).toEqual([404, 200]);
    await shop.close();
  });

  it('made by hand last three years, or as long as was asked for', async () => {
    const shop = await opened();
    const { ownerId } = await fitted(shop);
    const make = async (more: object) =>
      (await shop.post(`/v1/owners/${ownerId}/links`, { purpose: 'owner-page', ...more })).body;
    const card = await make({});
    const short = await make({ days: 2 });
    expect([card.expiresAt, short.expiresAt]).toEqual([afterDays(1100), afterDays(2)]);
    shop.setNow(afterDays(2));
    expect([await status(shop, card.url), await status(shop, short.url)]).toEqual([200, 404]);
    await shop.close();
  });

  it('open the one car that they are bound to, and no car of anybody else', async () => {
    const shop = await opened();
    const { ownerId, carId } = await fitted(shop);
    const second = { registration: 'FK 2', ownerId, handbook: {} };
    const keeping = { place: 'outdoors', salt: 'none', use: 'summer' };
    const other = await shop.post('/v1/cars', { ...second, keeping });
    const foreign = await fitted(shop, {
      owner: { email: 'bo@example.org' },
      car: { registration: 'FK 3' },
    });
    const links = `/v1/owners/${ownerId}/links`;
    const wrong = await shop.post(links, { purpose: 'owner-page', carId: foreign.carId });
    expect([wrong.status, wrong.body.errors[0].pointer]).toEqual([400, '#/carId']);
    const { body } = await shop.post(links, { purpose: 'owner-page', carId });
    const path = body.url.replace('https://care.example.org', '');
    const { html } = await browse(shop, 'GET', path);
    expect([html.includes('FK 1'), html.includes('FK 2')]).toEqual([true, false]);
    const press = (id: string) =>
      browse(shop, 'POST', `${path}/cars/${id}/position`, { position: 'folded' });
    expect((await press(other.body.id)).status).toBe(404);
    expect((await press(carId)).status).toBe(303);
    await shop.close();
  });

  it('are replaced and revoked in one press on the owner’s page of the shop', async () => {
    const shop = await opened();
    const { ownerId } = await fitted(shop);
    const desk = await openDesk(shop);
    const press = async (what: string) =>
      desk.send(await desk.open(`/owners/${ownerId}`), `/owners/${ownerId}/links`, { what });
    const urlIn = (html: string) => /https:\/\/[\w.]+\/o\/[\w-]{43}/.exec(html)?.[0] ?? '';
    const first = urlIn((await press('more')).html);
    const second = urlIn((await press('replace')).html);
    expect([await status(shop, first), await status(shop, second)]).toEqual([404, 200]);
    const revoked = await press('revoke');
    expect(revoked.headers.location).toBe(`/owners/${ownerId}?done=revoked`);
    expect(await status(shop, second)).toBe(404);
    await shop.close();
  });
});
