import { beforeEach, expect, it } from 'vitest';
import { readTrail } from '../../src/usecases/trail/read-trail.ts';
import { REFERENCES } from '../../src/store/records/import-references.ts';
import { asClub } from '../club/club.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { openDesk, wordsOf } from './desk.ts';
import { linkFor } from './link-for.ts';

const NOW = '2026-06-12T09:00:00.000Z';
const ANY = { 'if-match': '*' };

eachDatabase('a car that was typed in by mistake', ({ open }) => {
  let shop: Workshop;
  let desk: Desk;
  let made: CarAndTop;
  beforeEach(async () => {
    shop = await open(NOW);
    made = await fitted(shop, { top: { fittedOn: '2025-05-20' } });
    desk = await openDesk(shop);
    return () => shop.close();
  });

  const letters = async () => (await shop.get('/v1/letters?limit=200')).body.items;
  const page = () => desk.open(`/cars/${made.carId}/change`);
  const standing = async () => wordsOf((await page()).html.split('id="remove"')[1] ?? '');
  async function remove() {
    const action = `/cars/${made.carId}/remove`;
    const asked = await desk.send(await page(), action);
    return { asked, done: await desk.send(asked, action) };
  }

  it('goes with all that follows from it, after its page has shown what goes', async () => {
    await shop.post('/v1/round', {});
    await linkFor(shop, made.ownerId, 'owner-page');
    expect(await letters()).toHaveLength(1);
    const { asked, done } = await remove();
    expect(wordsOf(asked.html)).toContain('goes from the records');
    expect(wordsOf(asked.html)).toContain('Not sent');
    expect(done.headers['location']).toBe(`/owners/${made.ownerId}?done=car-removed#removed`);
    expect((await shop.get(`/v1/cars/${made.carId}`)).status).toBe(404);
    expect(await letters()).toEqual([]);
    const left: string[] = [];
    for (const { table, columns } of REFERENCES) {
      for (const [column, kind] of Object.entries(columns)) {
        if (kind === 'owners') continue;
        const id = kind === 'cars' ? made.carId : made.topId;
        const text = `SELECT 1 FROM "${table}" WHERE "${column}" = ?`;
        if ((await shop.context.store.sql.all(text, [id])).length > 0) left.push(table);
      }
    }
    expect(left).toEqual(['trail']);
    expect(wordsOf((await desk.open(`/owners/${made.ownerId}`)).html)).toContain('car removed');
  });

  it('goes too where its owner was erased meanwhile', async () => {
    const erased = await shop.call('DELETE', `/v1/owners/${made.ownerId}`, undefined, ANY);
    expect(erased.status).toBe(204);
    const { asked, done } = await remove();
    expect(wordsOf(asked.html)).toContain('Its owner was erased before.');
    expect(wordsOf(asked.html)).not.toContain('brought back');
    expect(done.headers['location']).toBe('/tops');
    expect((await shop.get(`/v1/cars/${made.carId}`)).status).toBe(404);
  });

  it('comes back as it was: its top, its joints and their due day', async () => {
    const top = async () => (await shop.get(`/v1/tops/${made.topId}`)).body;
    const pivots = async () => (await shop.get(`/v1/tops/${made.topId}/pivots`)).body;
    const car = async () => (await shop.get(`/v1/cars/${made.carId}`)).body;
    const before = [await car(), await top(), await pivots()];
    await remove();
    const owner = await desk.open(`/owners/${made.ownerId}`);
    expect(wordsOf(owner.html)).toMatch(/was removed on Friday, 12 June 2026 by /);
    const back = await desk.send(owner, `/owners/${made.ownerId}/cars/${made.carId}/back`);
    expect(back.headers['location']).toBe(`/cars/${made.carId}?done=brought-back`);
    expect([await car(), await top(), await pivots()]).toEqual(before);
    expect((await desk.open(`/owners/${made.ownerId}`)).html).not.toContain('id="removed"');
    await shop.post('/v1/round', {});
    expect(await letters()).toHaveLength(1);
  });

  it('is told of in German with the key by which it went', async () => {
    await shop.call('PATCH', '/v1/organisation', { language: 'de' }, ANY);
    await remove();
    const words = wordsOf((await desk.open(`/owners/${made.ownerId}`)).html);
    expect(words).toContain('wurde am Freitag, 12. Juni 2026 entfernt (ein Schlüssel).');
    expect(words).not.toContain('access key');
  });

  it('stays where a visit took place or is booked, and goes once that is taken back', async () => {
    const booked = await shop.post(`/v1/tops/${made.topId}/visits`, {
      kind: 'lubrication',
      plannedOn: '2026-06-25',
    });
    expect(booked.status).toBe(201);
    expect(await standing()).toContain('call off what is booked');
    const refused = await shop.call('DELETE', `/v1/cars/${made.carId}`, undefined, ANY);
    expect(refused.status).toBe(409);
    expect(refused.body.errors).toEqual([
      { pointer: '#', detail: expect.stringContaining('Visits of it are on record') },
    ]);
    await shop.call('PATCH', `/v1/visits/${booked.body.id}`, { state: 'cancelled' }, ANY);
    expect((await shop.call('DELETE', `/v1/cars/${made.carId}`, undefined, ANY)).status).toBe(204);
    const back = await shop.post(`/v1/cars/${made.carId}/bring-back`, {});
    expect(back.status).toBe(200);
    expect((await shop.get(`/v1/visits/${booked.body.id}`)).body.state).toBe('cancelled');
  });

  it('stays once a letter about it has left', async () => {
    await shop.post('/v1/round', {});
    const { store } = shop.context;
    await store.writeSql((sql) => sql.run(`UPDATE "letter" SET "state" = 'delivered'`));
    expect(await standing()).toContain('Letters about it have left');
    const pressed = await desk.post(`/cars/${made.carId}/remove`, {
      once: 'pressed-again',
      version: '1',
    });
    expect(pressed.status).toBe(409);
    expect((await shop.get(`/v1/cars/${made.carId}`)).status).toBe(200);
  });

  it('stays while its log has entries, and goes with those that were taken back', async () => {
    const entry = { position: 'folded', at: '2026-06-12T08:00:00.000Z' };
    const { body } = await shop.post(`/v1/cars/${made.carId}/position`, entry);
    expect(await standing()).toContain('Its log has entries');
    await shop.post(`/v1/cars/${made.carId}/position-log/${body.id}/withdraw`, {});
    const { done } = await remove();
    expect(done.status).toBe(303);
  });

  it('is not brought back beside the right one, or to an owner who was erased', async () => {
    const { registration, ownerId } = (await shop.get(`/v1/cars/${made.carId}`)).body;
    await remove();
    const right = await shop.post('/v1/cars', { ownerId, registration });
    expect(right.status).toBe(201);
    const back = () => shop.post(`/v1/cars/${made.carId}/bring-back`, {});
    expect((await back()).status).toBe(409);
    await shop.call('DELETE', `/v1/cars/${right.body.id}`, undefined, ANY);
    await shop.call('DELETE', `/v1/owners/${ownerId}`, undefined, ANY);
    expect((await back()).status).toBe(400);
  });

  it('keeps nothing of an owner who is erased in what stood in the car', async () => {
    const colour = 'as Ada Quill wanted it';
    await shop.call('PATCH', `/v1/cars/${made.carId}`, { colour }, ANY);
    await remove();
    const removed = async () => {
      const { items } = (await shop.get('/v1/trail?limit=200')).body;
      return JSON.stringify(items.filter(({ kind }: { kind: string }) => kind === 'car'));
    };
    expect(await removed()).toContain('Ada Quill');
    await shop.call('DELETE', `/v1/owners/${made.ownerId}`, undefined, ANY);
    expect(await removed()).not.toContain('Ada Quill');
  });

  it('leaves a letter of an owner that speaks of another car to be written anew without it', async () => {
    const other = await shop.post('/v1/cars', { ownerId: made.ownerId, registration: 'FK 77' });
    const top = { fittedOn: '2025-05-20', framePattern: 'two-seat-manual' };
    const more = { cover: { material: 'cloth' }, window: 'glass' };
    await shop.post('/v1/tops', { carId: other.body.id, ...top, ...more });
    await shop.post('/v1/round', {});
    const [shared] = await letters();
    expect(shared.carIds).toHaveLength(2);
    await remove();
    await shop.post('/v1/round', {});
    const [letter] = await letters();
    expect(letter.carIds).toEqual([other.body.id]);
  });

  it('tells a club nothing of where the top of a member stood that is gone', async () => {
    const club = await asClub(shop);
    made = await fitted(shop);
    desk = await openDesk(shop);
    const entry = { position: 'folded', at: '2026-06-12T08:00:00.000Z' };
    const { body } = await shop.post(`/v1/cars/${made.carId}/position`, entry);
    await shop.post(`/v1/cars/${made.carId}/position-log/${body.id}/withdraw`, {});
    await remove();
    const { items } = await readTrail(shop.context, club, { limit: 50 });
    expect(items.map(({ kind }) => kind)).toContain('car');
    expect(JSON.stringify(items)).not.toContain('folded"');
  });
});
