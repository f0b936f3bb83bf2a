import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { openDesk, wordsOf } from './desk.ts';
import { browse, linkFor } from './link-for.ts';

let shop: Workshop;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
});
afterEach(() => shop.close());

it('shows no limit in red any more once the top is up, and what is left to do', async () => {
  const { carId, ownerId } = await fitted(shop, { top: { fittedOn: '2026-05-01' } });
  const log = (position: string, at: string) =>
    shop.post(`/v1/cars/${carId}/position`, { position, at });
  const desk = await openDesk(shop);
  const link = await linkFor(shop, ownerId, 'owner-page');
  const pages = async () => [
    (await browse(shop, 'GET', link)).html,
    (await desk.open(`/cars/${carId}`)).html,
    (await desk.open('/today')).html,
  ];
  await log('folded', '2026-06-01T09:00:00.000Z');
  for (const html of await pages()) expect(html).toMatch(/left over|over the limit|8 days over/);
  await log('raised', '2026-06-12T08:00:00.000Z');
  for (const html of await pages()) expect(html).not.toMatch(/left over|over the limit|days over/);
  const own = wordsOf((await browse(shop, 'GET', link)).html);
  expect(own).toContain('After 12 hours raised without a break it begins anew');
  // A short time up ends nothing: folded again it is over as before.
  shop.setNow('2026-06-12T10:00:00.000Z');
  await log('folded', '2026-06-12T09:30:00.000Z');
  expect((await browse(shop, 'GET', link)).html).toContain('over the limit');
});
