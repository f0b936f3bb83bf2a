import { expect, it } from 'vitest';
import { withoutTrail } from '../../src/store/database/pen.ts';
import { openDesk, wordsOf } from '../pages/desk.ts';
import { browse, linkFor } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import { fitted } from '../setup/workshop.ts';

interface Entry {
  readonly kind: string;
  readonly action: string;
}

const NOW = '2026-06-12T09:00:00.000Z';
const LATER = '2026-06-13T10:30:00.000Z';

eachDatabase('the trail', ({ open }) => {
  it('says who changed what, when, and what stood there before', async () => {
    const shop = await open(NOW);
    const { carId, ownerId } = await fitted(shop);
    const key = (await shop.get('/v1/trail')).body.items[0].author;
    expect(key).toMatch(/^key:/);
    shop.setNow(LATER);
    const keeping = { place: 'street', salt: 'none', use: 'summer' };
    const patch = { registration: 'FK 2', keeping };
    await shop.call('PATCH', `/v1/cars/${carId}`, patch, { 'if-match': '*' });
    const { items } = (await shop.get(`/v1/trail?carId=${carId}`)).body;
    expect(items[0]).toMatchObject({
      at: LATER,
      author: key,
      kind: 'car',
      recordId: carId,
      action: 'changed',
      was: { registration: 'FK 1', place: 'outdoors' },
      becomes: { registration: 'FK 2', place: 'street' },
    });
    expect(Object.keys(items[0].was).sort()).toEqual(['place', 'registration']);
    expect(items.map(({ kind, action }: Entry) => `${kind} ${action}`)).toEqual([
      'car changed',
      'top recorded',
      'car recorded',
    ]);
    const owners = (await shop.get(`/v1/trail?ownerId=${ownerId}`)).body.items;
    expect(owners).toMatchObject([{ kind: 'owner', action: 'recorded', at: NOW, author: key }]);
    await shop.close();
  });

  it('names the owner where a link was used, and the server where nobody asked', async () => {
    const shop = await open(NOW);
    const { carId, ownerId } = await fitted(shop, { top: { fittedOn: '2025-06-10' } });
    const own = await linkFor(shop, ownerId, 'owner-page');
    await browse(shop, 'POST', `${own}/cars/${carId}/oiled`, {});
    const [oiled] = (await shop.get(`/v1/trail?carId=${carId}`)).body.items;
    expect(oiled).toMatchObject({
      kind: 'visit',
      action: 'recorded',
      author: `owner:${ownerId}`,
      authorName: '',
    });
    const rename = 'UPDATE "car" SET "registration" = ? WHERE "id" = ?';
    await shop.context.store.writeSql((sql) => sql.run(rename, ['FK 9', carId]));
    await withoutTrail(() =>
      shop.context.store.writeSql((sql) => sql.run(rename, ['FK 10', carId])),
    );
    const [last] = (await shop.get(`/v1/trail?carId=${carId}`)).body.items;
    expect(last).toMatchObject({ author: 'foldkeep', becomes: { registration: 'FK 9' } });
    await shop.close();
  });

  it('is written with the change or not at all, and a look of the round is no change', async () => {
    const shop = await open(NOW);
    const { carId } = await fitted(shop);
    const count = async () => (await shop.get('/v1/trail')).body.items.length;
    const before = await count();
    const broken = shop.context.store.write(async ({ records, sql }) => {
      await records.car.updateMany({ where: { id: carId }, data: { registration: 'FK 3' } });
      await sql.run('UPDATE "car" SET "foldedLimitDays" = 5 WHERE "id" = ?', [carId]);
      throw new Error('no');
    });
    await expect(broken).rejects.toThrow('no');
    await shop.post('/v1/round', {});
    expect(await count()).toBe(before);
    await shop.close();
  });

  it('is seen by its own organisation alone', async () => {
    const shop = await open(NOW);
    const { carId, ownerId } = await fitted(shop);
    shop.key = await shop.keyFor('Another Shop');
    for (const query of ['', `?carId=${carId}`, `?ownerId=${ownerId}`]) {
      const { body } = await shop.get(`/v1/trail${query}`);
      const foreign = body.items.filter(({ kind }: Entry) => kind !== 'access_key');
      expect(foreign.map(({ kind }: Entry) => kind)).toEqual(query === '' ? ['organisation'] : []);
    }
    const desk = await openDesk(shop);
    const table = await desk.open('/trail.csv');
    expect(table.html).not.toContain(carId);
    await shop.close();
  });

  it('stands on the pages, a page at a time, and goes out as a table', async () => {
    const shop = await open(NOW);
    const { carId, ownerId } = await fitted(shop);
    for (const n of [2, 3, 4]) {
      const change = { registration: n === 3 ? '=FK 3' : `FK ${n}` };
      await shop.call('PATCH', `/v1/cars/${carId}`, change, { 'if-match': '*' });
    }
    await shop.call('PATCH', `/v1/owners/${ownerId}`, { phone: '1234567' }, { 'if-match': '*' });
    const desk = await openDesk(shop);
    const car = wordsOf((await desk.open(`/cars/${carId}`)).html);
    expect(car).toMatch(/What was changed .*an access key: car changed registration =FK 3 → FK 4/);
    const owner = wordsOf((await desk.open(`/owners/${ownerId}`)).html);
    expect(owner).toContain('phone nothing → 1234567');
    const table = (await desk.open(`/trail.csv?car=${carId}`)).html.split('\r\n');
    expect(table[0]).toBe('\uFEFFat,author,name,kind,record,of,action,column,was,becomes');
    expect(table[1]).toMatch(/,car,[\w-]+,,changed,registration,'=FK 3,FK 4$/);
    const pages = [];
    for (let after = ''; ;) {
      const { body } = await shop.get(`/v1/trail?limit=2${after}`);
      pages.push(...body.items);
      if (body.next === null) break;
      after = `&after=${body.next}`;
    }
    expect(pages).toEqual((await shop.get('/v1/trail')).body.items);
    await shop.close();
  });
});
