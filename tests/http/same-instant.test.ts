import { afterEach, beforeEach, expect, it } from 'vitest';
import { makeKey } from '../../src/usecases/organisations/organisations.ts';
import { recordOwnOiling } from '../../src/usecases/owner-door/owner-oiling.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Answer, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

const ANY = { 'if-match': '*' };
const NOW = '2026-06-12T09:00:00.000Z';

/** How many answers there were of each status. */
function counted(answers: readonly Answer[]): Record<number, number> {
  const counts: Record<number, number> = {};
  for (const { status } of answers) counts[status] = (counts[status] ?? 0) + 1;
  return counts;
}

eachDatabase('of two who do the same at the same instant', ({ open }) => {
  let shop: Workshop;
  beforeEach(async () => {
    shop = await open(NOW);
  });
  afterEach(() => shop.close());

  it('one gets the name of an organisation, and the other is told to choose another', async () => {
    const keys = [shop.key, await shop.keyFor('Second'), await shop.keyFor('Third')];
    const rename = (key: string, name: string) =>
      shop.call(
        'PATCH',
        '/v1/organisation',
        { name },
        { authorization: `Bearer ${key}`, 'if-match': '*' },
      );
    for (const name of ['North Lane Covers', 'South Lane Covers', 'West Lane Covers']) {
      const answers = await Promise.all(keys.map((key) => rename(key, name)));
      expect(counted(answers)).toEqual({ 200: 1, 409: 2 });
      const refused = answers.find(({ status }) => status === 409);
      expect(refused?.body.errors).toMatchObject([{ pointer: '#/name' }]);
    }
  });

  it('both get a key of the organisation that they bring in, and there is one', async () => {
    const made = await Promise.all(
      Array.from({ length: 5 }, () => makeKey(shop.context, { name: 'Quay Tops' }, 'full')),
    );
    expect(new Set(made.map(({ organisationId }) => organisationId)).size).toBe(1);
    expect(made.filter(({ created }) => created)).toHaveLength(1);
    expect(new Set(made.map(({ key }) => key)).size).toBe(5);
  });

  it('one draws a frame pattern', async () => {
    const pivots = [{ code: 'L-MAIN', side: 'L', kind: 'main', washersExpected: 2 }];
    const draw = () => shop.post('/v1/frame-patterns', { name: 'own frame', pivots });
    const answers = await Promise.all([draw(), draw(), draw()]);
    expect(counted(answers)).toEqual({ 201: 1, 409: 2 });
    expect(answers.find(({ status }) => status === 409)?.body.errors[0].pointer).toBe('#/name');
    const builtIn = await shop.post('/v1/frame-patterns', { name: 'four-seat-manual', pivots });
    expect(builtIn.status).toBe(409);
  });

  it('one fits the new top of a car, and no car has two', async () => {
    const { carId } = await fitted(shop);
    const fit = () =>
      shop.post('/v1/tops', {
        carId,
        fittedOn: '2026-06-01',
        framePattern: 'four-seat-manual',
        cover: { material: 'vinyl' },
        window: 'glass',
      });
    expect(counted(await Promise.all([fit(), fit(), fit()]))).toEqual({ 201: 1, 400: 2 });
    const where = { carId, retiredOn: null };
    expect(await shop.context.store.records.top.count({ where })).toBe(1);
    expect(await shop.context.store.records.pivot.count({ where })).toBeGreaterThan(1);
    const codes = await shop.context.store.records.pivot.findMany({
      where,
      select: { code: true },
    });
    expect(new Set(codes.map(({ code }) => code)).size).toBe(codes.length);
  });

  it('one changes an owner or a car from the version that both read', async () => {
    const { ownerId, carId } = await fitted(shop);
    const patch = (path: string, body: object) =>
      shop.call('PATCH', path, body, { 'if-match': '"v1"' });
    const owners = [
      patch(`/v1/owners/${ownerId}`, { phone: '01' }),
      patch(`/v1/owners/${ownerId}`, { phone: '02' }),
    ];
    expect(counted(await Promise.all(owners))).toEqual({ 200: 1, 412: 1 });
    const cars = [
      patch(`/v1/cars/${carId}`, { registration: 'FK 8' }),
      patch(`/v1/cars/${carId}`, { registration: 'FK 9' }),
    ];
    expect(counted(await Promise.all(cars))).toEqual({ 200: 1, 412: 1 });
  });

  it('one tap of the owner is an oiling, and the others are the same', async () => {
    const { ownerId, carId, topId } = await fitted(shop);
    const link = await shop.post(`/v1/owners/${ownerId}/links`, { purpose: 'owner-page' });
    const token = link.body.url.split('/o/')[1];
    await Promise.all([1, 2, 3].map(() => recordOwnOiling(shop.context, { token }, carId)));
    expect((await shop.get(`/v1/tops/${topId}/visits`)).body.items).toHaveLength(1);
  });

  it('a visit is either moved or done', async () => {
    const { topId } = await fitted(shop);
    for (const day of ['2026-06-16', '2026-06-17', '2026-06-18']) {
      const { body } = await shop.post(`/v1/tops/${topId}/booking`, { on: day, kind: 'repair' });
      const ask = (method: string, path: string, to: object) =>
        shop.call(method, `/v1/visits/${body.id}${path}`, to, { 'if-match': '"v1"' });
      const both = await Promise.all([
        ask('PUT', '/booking', { on: '2026-06-22' }),
        ask('PATCH', '', { doneOn: '2026-06-12' }),
      ]);
      expect(counted(both)).toMatchObject({ 200: 1 });
      const after = await shop.get(`/v1/visits/${body.id}`);
      expect(after.body.version).toBe(2);
      await shop.call('PATCH', `/v1/visits/${body.id}`, { state: 'cancelled' }, ANY);
    }
  });

  it('one says what an owner without a car wants, and one what came of an advice', async () => {
    const { body: owner } = await shop.post('/v1/owners', { name: 'Cy', email: 'cy@example.org' });
    const preferences = `/v1/owners/${owner.id}/preferences`;
    const tag = String((await shop.get(preferences)).headers['etag']);
    const say = (refused: string) => {
      const wish = { refused: [refused], words: 'at the counter' };
      return shop.call('PUT', preferences, wish, { 'if-match': tag });
    };
    const said = await Promise.all([say('reminders'), say('care-notes')]);
    expect(counted(said)).toEqual({ 200: 1, 412: 1 });
    const { topId } = await fitted(shop);
    const findings = [{ text: 'hem torn', advised: 'sew the hem' }];
    const visit = await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-10',
      findings,
    });
    const path = `/v1/visits/${visit.body.id}/findings/${visit.body.findings[0].id}`;
    const decide = (outcome: string) =>
      shop.call('PATCH', path, { outcome }, { 'if-match': '"v1"' });
    const decided = await Promise.all([decide('accepted'), decide('declined')]);
    expect(counted(decided)).toEqual({ 200: 1, 412: 1 });
  });
});
