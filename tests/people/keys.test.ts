import { expect, it } from 'vitest';
import { signIn } from '../../src/usecases/organisations/sign-in.ts';
import { openDesk, wordsOf } from '../pages/desk.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

async function withKey<T>(shop: Workshop, key: string, work: () => Promise<T>): Promise<T> {
  const whose = shop.key;
  shop.key = key;
  try {
    return await work();
  } finally {
    shop.key = whose;
  }
}

const statusOf = (shop: Workshop, key: string, path = '/v1/owners') =>
  withKey(shop, key, async () => (await shop.get(path)).status);

eachDatabase('keys', ({ open }) => {
  const opened = async () => open('2026-06-12T09:30:00.000Z');

  it('are made on a page, shown once, listed with their last use, and revoked at once', async () => {
    const shop = await opened();
    const desk = await openDesk(shop);
    const page = await desk.open('/keys');
    const made = await desk.send(page, '/keys', { name: 'bench tablet', scope: 'read' });
    const key = /fk_[\w-]{43}/.exec(made.html)?.[0] ?? '';
    expect(made.status).toBe(200);
    expect((await desk.open('/keys')).html).not.toContain(key);
    expect((await desk.open('/keys')).html).toMatch(/bench tablet[^]*last used: never/);
    expect(await statusOf(shop, key)).toBe(200);
    const list = await desk.open('/keys');
    expect(wordsOf(list.html)).toMatch(
      /bench tablet[^]*last used: Friday, 12 June 2026 at 10:30, or within the hour after; ends: 12 June 2027/,
    );
    const own = list.html.split('<li>').find((item) => item.includes('bench tablet')) ?? '';
    const revoke = /action="([^"]+)"/.exec(own)?.[1] ?? '';
    const asked = await desk.send(list, revoke);
    expect(wordsOf(asked.html)).not.toContain('this very key');
    const ended = await desk.send(asked, revoke);
    expect([ended.status, ended.headers.location]).toEqual([303, '/keys?done=revoked']);
    expect(await statusOf(shop, key)).toBe(401);
    expect((await desk.open('/keys')).html).toMatch(/bench tablet[^]*ends: revoked 12 June 2026/);
    await shop.close();
  });

  it('end by themselves, with the sessions that were begun with them', async () => {
    const shop = await opened();
    const desk = await openDesk(shop);
    const page = await desk.open('/keys');
    const made = await desk.send(page, '/keys', { name: 'short', scope: 'read', days: '1' });
    const key = /fk_[\w-]{43}/.exec(made.html)?.[0] ?? '';
    shop.setNow('2026-06-13T09:29:00.000Z');
    const reader = await openDesk(shop, key);
    expect((await reader.open('/today')).status).toBe(200);
    shop.setNow('2026-06-13T09:30:00.000Z');
    expect(await statusOf(shop, key)).toBe(401);
    expect((await reader.open('/today')).status).toBe(303);
    expect((await signIn(shop.context, key)).kind).toBe('unknown-key');
    await shop.close();
  });

  it('for logging open the cars that they are bound to, and no others', async () => {
    const shop = await opened();
    const own = await fitted(shop, { car: { registration: 'FK 1' } });
    const other = await fitted(shop, { car: { registration: 'FK 2' } });
    const desk = await openDesk(shop);
    const page = await desk.open('/keys');
    const wish = { name: 'logger', scope: 'log' };
    const unknown = await desk.send(page, '/keys', { ...wish, cars: 'fk1, FK 9' });
    expect([unknown.status, unknown.html.includes('no car “FK 9”')]).toEqual([400, true]);
    const wide = await desk.send(page, '/keys', { ...wish, scope: 'read', cars: 'fk1' });
    expect(wide.status).toBe(400);
    const made = await desk.send(page, '/keys', { ...wish, cars: 'fk-1' });
    const key = /fk_[\w-]{43}/.exec(made.html)?.[0] ?? '';
    const entry = { position: 'folded', at: '2026-06-12T09:00:00.000Z' };
    const log = (carId: string) =>
      withKey(shop, key, async () => (await shop.post(`/v1/cars/${carId}/position`, entry)).status);
    expect(await log(own.carId)).toBe(201);
    expect(await log(other.carId)).toBe(403);
    expect(await statusOf(shop, key, `/v1/cars/${own.carId}/position-log`)).toBe(200);
    expect(await statusOf(shop, key, `/v1/cars/${other.carId}/spells`)).toBe(403);
    expect((await desk.open('/keys')).html).toContain('logs positions of FK 1');
    await shop.close();
  });

  it('are revoked once it was said what stops then, that of one’s own sign-in too', async () => {
    const shop = await opened();
    const desk = await openDesk(shop);
    const page = await desk.open('/keys');
    const action = /action="(\/keys\/[\w-]+\/revoke)"/.exec(page.html)?.[1] ?? '';
    const asked = await desk.send(page, action);
    expect(asked.status).toBe(200);
    expect(wordsOf(asked.html)).toContain('You are signed in with this very key');
    expect(await statusOf(shop, shop.key)).toBe(200);
    expect((await desk.send(asked, action)).headers['location']).toBe('/keys?done=revoked');
    expect(await statusOf(shop, shop.key)).toBe(401);
    await shop.close();
  });

  it('of another organisation are neither seen nor revoked, and a reading key does neither', async () => {
    const shop = await opened();
    const rows = await shop.context.store.records.accessKey.findMany();
    const foreign = await openDesk(shop, await shop.keyFor('Another Club'));
    const page = await foreign.open('/keys');
    expect(page.html.match(/>Revoke</g)).toHaveLength(1);
    const revoked = await foreign.post(`/keys/${rows[0]?.id}/revoke`, { once: 'abcdefgh' });
    expect(revoked.status).toBe(404);
    expect(await statusOf(shop, shop.key)).toBe(200);
    const reader = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops', 'read'));
    expect((await reader.open('/keys')).status).toBe(403);
    const sent = { once: 'abcdefgh', name: 'more', scope: 'full', days: '90' };
    expect((await reader.post('/keys', sent)).status).toBe(403);
    expect((await reader.post(`/keys/${rows[0]?.id}/revoke`, { once: 'abcdefgi' })).status).toBe(
      403,
    );
    await shop.close();
  });
});
