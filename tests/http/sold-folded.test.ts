import { afterEach, beforeEach, expect, it } from 'vitest';
import { wordsOf } from '../pages/desk.ts';
import { browse, linkFor } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

eachDatabase('a car that is sold with its top down', ({ open }) => {
  let shop: Workshop;
  let car: CarAndTop;
  let buyer: string;
  beforeEach(async () => {
    shop = await open('2026-05-18T14:20:00.000Z');
    car = await fitted(shop, { top: { fittedOn: '2026-05-01' } });
    const owner = await shop.post('/v1/owners', {
      name: 'Bo Elm',
      email: 'bo@example.org',
      timeZone: 'Europe/London',
    });
    buyer = owner.body.id;
    await log('folded', '2026-05-18T14:20:00.000Z');
    shop.setNow('2026-05-27T10:00:00.000Z');
    const sold = { ownerId: buyer };
    await shop.call('PATCH', `/v1/cars/${car.carId}`, sold, { 'if-match': '*' });
  });
  afterEach(() => shop.close());

  const log = (position: string, at: string) =>
    shop.post(`/v1/cars/${car.carId}/position`, { position, at });
  const roundAt = async (at: string) => {
    shop.setNow(at);
    await shop.post('/v1/round', { at });
    const { items } = (await shop.get(`/v1/letters?carId=${car.carId}`)).body;
    await shop.context.store.writeSql((sql) =>
      sql.run(`UPDATE "letter" SET "state" = 'delivered' WHERE "state" = 'planned'`),
    );
    return items.filter(
      ({ kind, state }: { kind: string; state: string }) =>
        kind.startsWith('folded-') && state === 'planned',
    );
  };
  // What the seller's log says: when it was folded, and when its three days were over.
  const SELLERS = /1[89] May|2[0-6] May|14:20|15:20|Monday|Folded since|Reached on/;

  it('is asked of its buyer to be raised, at once and anew, and nothing is told of the time before', async () => {
    const [over, ...more] = await roundAt('2026-05-27T10:05:00.000Z');
    expect(more).toEqual([]);
    expect(over).toMatchObject({ kind: 'folded-over', to: { address: 'bo@example.org' } });
    expect(over.text).toContain(
      'It stood folded already when the car came to you on Wednesday, 27 May 2026.',
    );
    expect(over.text).toContain('Limit: 3 days');
    for (const part of [over.subject, over.text, over.html]) expect(part).not.toMatch(SELLERS);
    expect(await roundAt('2026-06-03T09:55:00.000Z')).toEqual([]);
    const [still] = await roundAt('2026-06-03T10:00:00.000Z');
    expect(still).toMatchObject({ kind: 'folded-still', to: { address: 'bo@example.org' } });
    expect(still.text).not.toMatch(SELLERS);
  });

  it('shows its buyer how it stands and no entry of the seller, who alone could put it right', async () => {
    const link = await linkFor(shop, buyer, 'owner-page');
    const words = wordsOf((await browse(shop, 'GET', link)).html);
    expect(words).toContain('over the limit');
    expect(words).toContain('since before the car came to you on Wednesday, 27 May 2026');
    expect(words).not.toMatch(SELLERS);
    const { items } = (await shop.get(`/v1/cars/${car.carId}/position-log`)).body;
    const entry = `${link}/cars/${car.carId}/entries/${items[0].id}/withdraw`;
    await browse(shop, 'POST', entry, {});
    const after = (await shop.get(`/v1/cars/${car.carId}/position-log`)).body.items;
    expect(after[0].withdrawnAt).toBeNull();
    // From her own first fold on all is told.
    shop.setNow('2026-05-30T09:00:00.000Z');
    await log('raised', '2026-05-28T08:00:00.000Z');
    await log('folded', '2026-05-30T09:00:00.000Z');
    expect(wordsOf((await browse(shop, 'GET', link)).html)).toMatch(
      /folded since (?:today|10:00)/i,
    );
  });

  it('tells in German, too', async () => {
    await shop.call('PATCH', `/v1/owners/${buyer}`, { language: 'de' }, { 'if-match': '*' });
    const [over] = await roundAt('2026-05-27T10:05:00.000Z');
    expect(over.text).toContain(
      'Es war schon gefaltet, als der Wagen am Mittwoch, 27. Mai 2026 zu',
    );
  });
});
