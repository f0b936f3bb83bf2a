import { afterEach, beforeEach, expect, it } from 'vitest';
import { writeVisitOffered } from '../../src/usecases/bench/offer-letters.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

eachDatabase('letters that offer weeks', ({ open }) => {
  let shop: Workshop;
  let organisationId: string;
  let ids: Awaited<ReturnType<typeof fitted>>;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    ids = await fitted(shop);
    const rows = await shop.context.store.sql.all<{ id: string }>(
      'SELECT "id" FROM "organisation"',
    );
    organisationId = rows[0]?.id ?? '';
  });
  afterEach(() => shop.close());

  const offer = (id: string, topId: string, weeks: readonly string[]) =>
    shop.context.store.writeSql((sql) =>
      sql.run(
        `INSERT INTO "offer" ("id", "organisationId", "topId", "week", "weeks", "dueOn", "state", "offeredAt") VALUES (?, ?, ?, ?, ?, '2026-07-01', 'open', '2026-06-12T09:00:00.000Z')`,
        [id, organisationId, topId, weeks[0] ?? '', JSON.stringify(weeks)],
      ),
    );
  const end = (id: string) =>
    shop.context.store.writeSql((sql) =>
      sql.run(`UPDATE "offer" SET "state" = 'withdrawn' WHERE "id" = ?`, [id]),
    );
  const write = () =>
    shop.context.store.writeSql((sql) =>
      writeVisitOffered(shop.context, sql, organisationId, shop.context.now()),
    );
  const letters = async () =>
    (await shop.get('/v1/letters?limit=200')).body.items.filter(
      ({ kind }: { kind: string }) => kind === 'visit-offered',
    );
  const links = async () =>
    shop.context.store.sql.all<{ subject: string; carId: string }>(
      `SELECT "subject", "carId" FROM "link" WHERE "purpose" = 'book' ORDER BY "subject"`,
    );

  it('come once, with one link to the days, the weeks that were kept, and a way to refuse', async () => {
    await offer('o1', ids.topId, ['2026-W26', '2026-W28', '2026-W30']);
    expect(await write()).toBe(1);
    expect(await write()).toBe(0);
    const [letter] = await letters();
    expect(letter.carIds).toEqual([ids.carId]);
    expect(letter.text.match(/https:\/\/care\.example\.org\/b\/\S+/g)).toHaveLength(1);
    expect(letter.text).toMatch(/room for you in week 26 .*, week 28 .* and week 30 /);
    expect(letter.text).toContain('/u/');
    expect(await links()).toEqual([{ subject: 'o1', carId: ids.carId }]);
  });

  it('hold several cars of one owner, and are written anew when one offer ends', async () => {
    const car = await shop.post('/v1/cars', {
      ownerId: ids.ownerId,
      registration: 'FK 2',
      handbook: {},
      keeping: { place: 'outdoors', salt: 'none', use: 'summer' },
    });
    const top = await shop.post('/v1/tops', {
      carId: car.body.id,
      fittedOn: '2024-03-10',
      framePattern: 'four-seat-manual',
      cover: { material: 'cloth' },
      window: 'glass',
    });
    await offer('o1', ids.topId, ['2026-W26']);
    await offer('o2', top.body.id, ['2026-W27']);
    expect(await write()).toBe(1);
    const [both] = await letters();
    expect(both.carIds).toHaveLength(2);
    expect(both.text).toContain('Choose a day for FK 2:');
    await end('o1');
    expect(await write()).toBe(1);
    const [, one] = await letters();
    expect(one.text).toContain('We have kept time for FK 2');
    expect((await letters())[0].state).toBe('cancelled');
  });

  it('are not written of weeks gone by, nor to whoever refused offers', async () => {
    await offer('o1', ids.topId, ['2026-W20']);
    await write();
    expect(await letters()).toEqual([]);
    await end('o1');
    await offer('o2', ids.topId, ['2026-W26']);
    await shop.context.store.writeSql((sql) =>
      sql.run(
        `INSERT INTO "address_standing" ("organisationId", "addressHash", "refusedTopics") SELECT "organisationId", "addressHash", '["offers"]' FROM "owner"`,
      ),
    );
    expect(await write()).toBe(0);
  });
});
