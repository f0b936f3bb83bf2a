import { afterEach, beforeEach, expect, it } from 'vitest';
import { browse } from '../pages/link-for.ts';
import { wordsOf } from '../pages/desk.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

let shop: Workshop;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
});
afterEach(() => shop.close());

async function booked(language: string, state: string) {
  const { topId } = await fitted(shop, { owner: { language }, top: { fittedOn: '2026-01-10' } });
  const readings = [{ pivot: 'R-MAIN', state, oiled: false }];
  await shop.post(`/v1/tops/${topId}/visits`, { kind: 'look', doneOn: '2026-06-10', readings });
  const asked = { kind: 'repair', on: '2026-06-22' };
  expect((await shop.post(`/v1/tops/${topId}/booking`, asked)).status).toBeLessThan(300);
  const { items } = (await shop.get('/v1/letters?limit=50')).body;
  const { text } = items.find(({ kind }: { kind: string }) => kind === 'visit-booked');
  const link = /https:\/\/care\.example\.org(\/b\/\S+)/.exec(text)?.[1] ?? '';
  const said = wordsOf((await browse(shop, 'GET', link)).html);
  return { text: String(text).replaceAll(/\s+/g, ' '), page: said };
}

it.each([
  [
    'en',
    'Agree with us first how it is to come: on a trailer',
    'Cover it loosely',
    /Bring (?:it|the car)/,
  ],
  [
    'de',
    'Vereinbaren Sie vorher mit uns, wie es kommt: auf einem Anhänger',
    'Decken Sie es locker ab',
    /Bringen/,
  ],
])('says in %s how a top that must stay is to come', async (language, how, cover, bring) => {
  const { text, page } = await booked(language, 'seized');
  expect(text).toContain(how);
  expect(text).toContain(cover);
  expect(page).toContain(how);
  for (const said of [text, page]) expect(said).not.toMatch(bring);
});

it('asks to bring one that may be moved', async () => {
  const { text, page } = await booked('en', 'free');
  expect(text).toContain('Bring it');
  expect(page).toContain('Bring the car at');
  expect(text).not.toContain('trailer');
});
