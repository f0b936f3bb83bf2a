import { afterEach, beforeEach, expect, it } from 'vitest';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { openDesk, wordsOf } from './desk.ts';
import { wholeDatabase } from './link-for.ts';

let shop: Workshop;
let desk: Desk;
let ids: CarAndTop;
const PATH = '/diary/plan';
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  desk = await openDesk(shop);
  ids = await fitted(shop, { top: { fittedOn: '2025-06-24' } });
});
afterEach(() => shop.close());

const offers = () => shop.context.store.records.offer.count();

it('shows the plan dry first, then makes the offers once', async () => {
  expect((await desk.open('/today')).html).toContain(`href="${PATH}"`);
  const before = await wholeDatabase(shop);
  const page = await desk.open(PATH);
  expect(wordsOf(page.html)).toContain('1 offer to be made');
  expect(page.html).toContain(`href="/tops/${ids.topId}"`);
  expect(await wholeDatabase(shop)).toBe(before);
  for (const _ of [1, 2]) {
    const answer = await desk.send(page, PATH);
    expect([answer.status, answer.headers.location]).toEqual([303, '/today?done=offers']);
  }
  expect(await offers()).toBe(1);
  const letters = (await shop.get('/v1/letters')).body.items;
  expect(letters.map(({ kind }: { kind: string }) => kind)).toEqual(['visit-offered']);
  expect(wordsOf((await desk.open(PATH)).html)).toContain(
    '0 offers to be made, 1 standing as it is',
  );
});

it('says so where the shop is shut, and is closed to keys that only read', async () => {
  const page = await desk.open(PATH);
  const reader = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops', 'read'));
  expect((await reader.open(PATH)).status).toBe(403);
  expect((await reader.post(PATH, { once: 'a-name-of-its-own' })).status).toBe(403);
  expect((await reader.open('/today')).html).not.toContain(PATH);
  const stranger = await openDesk(shop, await shop.keyFor('Another Club'));
  expect((await stranger.open(PATH)).html).not.toContain(ids.topId);
  await shop.call('PUT', '/v1/diary/settings', { weekdays: [], closures: [] }, { 'if-match': '*' });
  expect((await desk.send(page, PATH)).status).toBe(400);
  expect(await offers()).toBe(0);
});

it('counts no offer to whoever cannot be written to, and says to ring', async () => {
  await fitted(shop, { owner: { email: 'bo@example.org' }, top: { fittedOn: '2025-06-20' } });
  await shop.context.store.writeSql((sql) =>
    sql.run(
      `INSERT INTO "address_standing" ("organisationId", "addressHash", "deadSince") SELECT "organisationId", "addressHash", '2026-05-01T00:00:00.000Z' FROM "owner" WHERE "id" = ?`,
      [ids.ownerId],
    ),
  );
  const page = await desk.open(PATH);
  expect(wordsOf(page.html)).toContain('1 offer to be made');
  expect(wordsOf(page.html)).toContain('1 owner of these weeks cannot be written to');
  await desk.send(page, PATH);
  expect(await offers()).toBe(1);
  const plan = await shop.post('/v1/diary/plan', { weeks: 8 });
  expect(plan.body).toMatchObject({ offers: { made: 0, kept: 1 }, notWritten: 1 });
  // The visit keeps its place on the bench all the same.
  expect(plan.body.placed).toHaveLength(2);
});
