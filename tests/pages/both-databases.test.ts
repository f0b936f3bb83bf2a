import { expect, it } from 'vitest';
import { signIn } from '../../src/usecases/organisations/sign-in.ts';
import { bothDatabases } from '../setup/databases.ts';
import { fitted } from '../setup/workshop.ts';
import { browse, linkFor } from './link-for.ts';

bothDatabases('the pages', ({ open }) => {
  it('read and write the same', async () => {
    const shop = await open('2026-06-12T09:00:00.000Z');
    const { ownerId, carId, topId } = await fitted(shop, { top: { fittedOn: '2025-06-10' } });
    const own = await linkFor(shop, ownerId, 'owner-page');
    const stop = await linkFor(shop, ownerId, 'stop', 'reminders');
    await shop.post('/v1/round', {});
    const oneClick = { 'List-Unsubscribe': 'One-Click' };
    for (const _ of [1, 2]) expect((await browse(shop, 'POST', stop, oneClick)).status).toBe(200);
    const refused = await shop.get(`/v1/owners/${ownerId}/preferences`);
    expect(refused.body).toMatchObject({ refused: ['reminders'], version: 1 });
    expect(refused.body.consent[0].given).toBe(false);
    expect((await browse(shop, 'GET', stop)).html).toContain('value="undo"');
    await browse(shop, 'POST', stop, { wish: 'undo' });
    expect((await shop.get(`/v1/owners/${ownerId}/preferences`)).body.refused).toEqual([]);

    const car = `${own}/cars/${carId}`;
    expect((await browse(shop, 'POST', `${car}/position`, { position: 'folded' })).status).toBe(
      303,
    );
    const due = async () => (await shop.get(`/v1/tops/${topId}`)).body.lubrication.dueOn;
    await browse(shop, 'POST', `${car}/oiled`, {});
    expect(await due()).toBe('2027-06-12');
    expect((await browse(shop, 'GET', own)).html).toContain('/oiled/withdraw');
    await browse(shop, 'POST', `${car}/oiled/withdraw`, {});
    expect(await due()).toBe('2026-06-10');

    shop.setNow('2026-06-12T18:00:00.000Z');
    const session = await signIn(shop.context, shop.key);
    const cookie = `__Host-foldkeep=${session.kind === 'signed-in' ? session.token : ''}`;
    shop.setNow('2026-06-16T09:00:00.000Z');
    const late = await browse(shop, 'GET', '/today', undefined, { cookie });
    expect(late.status).toBe(303);
    const again = await signIn(shop.context, shop.key);
    const fresh = `__Host-foldkeep=${again.kind === 'signed-in' ? again.token : ''}`;
    const today = await browse(shop, 'GET', '/today', undefined, { cookie: fresh });
    expect(today.html).toContain('1 day over');
    expect(today.html).toMatch(/1 cancelled before they left/);
    for (const url of [`/tops/${topId}`, `/cars/${carId}`, '/tops']) {
      const page = await browse(shop, 'GET', url, undefined, { cookie: fresh });
      expect([url, page.status]).toEqual([url, 200]);
    }
    expect((await shop.call('DELETE', `/v1/owners/${ownerId}/links`)).status).toBe(204);
    expect((await browse(shop, 'GET', own)).status).toBe(404);
    expect((await browse(shop, 'GET', '/o/%00')).status).toBe(404);
    await shop.close();
  });
});
