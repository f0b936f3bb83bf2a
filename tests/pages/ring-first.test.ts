import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { openDesk, wordsOf } from './desk.ts';

let shop: Workshop;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-08T09:00:00.000Z');
});
afterEach(() => shop.close());

async function car(registration: string, fittedOn: string): Promise<string> {
  const owner = { phone: '01632 960 001', email: `${registration.replace(' ', '')}@example.org` };
  return (await fitted(shop, { owner, car: { registration }, top: { fittedOn } })).topId;
}

it('names whom to ring below ever so many cars that must not be moved', async () => {
  for (let i = 1; i <= 10; i += 1) {
    const top = await car(`STAYS ${i}`, '2026-01-10');
    const readings = [{ pivot: 'R-MAIN', state: 'seized', oiled: false }];
    await shop.post(`/v1/tops/${top}/visits`, { kind: 'look', doneOn: '2026-06-01', readings });
  }
  for (let i = 1; i <= 9; i += 1) await car(`LATE ${i}`, '2025-01-10');
  const { html } = await (await openDesk(shop)).open('/today');
  const ring = wordsOf(/<h2>Ring first<\/h2>(.*?)<\/section>/s.exec(html)?.[1] ?? '');
  expect(new Set(ring.match(/LATE \d/g))).toHaveLength(3);
  expect(ring).not.toContain('STAYS');
  // As many as the page of all calls has, with those whose top must stay.
  expect(ring).toContain('All calls: 19');
});

it('leads to all of them, those that must stay first, a page at a time', async () => {
  for (let i = 1; i <= 2; i += 1) {
    const top = await car(`STAYS ${i}`, '2026-01-10');
    const readings = [{ pivot: 'R-MAIN', state: 'seized', oiled: false }];
    await shop.post(`/v1/tops/${top}/visits`, { kind: 'look', doneOn: '2026-06-01', readings });
  }
  for (let i = 1; i <= 5; i += 1) await car(`LATE ${i}`, `2025-01-1${i}`);
  const { html } = await (await openDesk(shop)).open('/calls');
  expect(wordsOf(html)).toMatch(/STAYS \d.*STAYS \d.*LATE 1.*LATE 5/s);
  const all = (await shop.get('/v1/calls?limit=50')).body;
  for (const limit of [1, 2, 3, 6]) {
    const items = [];
    let next = '';
    do {
      const page = (await shop.get(`/v1/calls?limit=${limit}${next}`)).body;
      items.push(...page.items);
      next = page.next === null ? '' : `&after=${encodeURIComponent(page.next)}`;
    } while (next !== '');
    expect(items).toEqual(all.items);
  }
});

it('says to write to whom nobody can ring', async () => {
  for (const phone of [null, '01632 960 001']) {
    const { carId } = await fitted(shop, {
      owner: {
        email: `${phone === null ? 'bea' : 'ada'}@example.org`,
        ...(phone === null ? {} : { phone }),
      },
      car: { registration: phone === null ? 'MUTE 1' : 'RINGS 1' },
    });
    await shop.post(`/v1/cars/${carId}/position`, {
      position: 'folded',
      at: '2026-05-20T08:00:00Z',
    });
  }
  const desk = await openDesk(shop);
  for (const page of ['/today', '/calls']) {
    const words = wordsOf((await desk.open(page)).html);
    expect(words).toMatch(/MUTE 1 Ada Quill, no telephone number\. Write: ask to raise it/);
    expect(words).toMatch(/RINGS 1 Ada Quill, 01632.960.001\. Ring: ask to raise it/);
  }
});
