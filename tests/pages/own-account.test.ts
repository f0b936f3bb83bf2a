import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { openWorkshop } from '../setup/workshop.ts';
import { openDesk, wordsOf } from './desk.ts';

let shop: Workshop;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
});
afterEach(() => shop.close());

it('says to whoever signed in with a key that it is not their own account', async () => {
  const words = wordsOf((await (await openDesk(shop)).open('/me')).html);
  expect(words).toContain('You signed in with a key of the organisation, not as yourself.');
  expect(words).not.toContain('nobody');
});
