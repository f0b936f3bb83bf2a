import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { openDesk, wordsOf } from './desk.ts';

// What pages said that answered another question, or none: each was seen once and must not come back.
describe.each([
  [
    'en',
    {
      unmeasured: 'Nothing has been measured on it yet.',
      good: /The frame as a whole\s*good/,
      none: /\b0 of 0\b/,
      ended: 'cover: ended on Wednesday, 10 June 2026',
      reached: 'the limit was reached Sunday, 7 June 2026 at 10:00',
      over: 'over the limit',
    },
  ],
  [
    'de',
    {
      unmeasured: 'Daran wurde noch nichts gemessen.',
      good: /Das Gestell als Ganzes\s*gut/,
      none: /\b0 von 0\b/,
      ended: 'endete am Mittwoch, 10. Juni 2026',
      reached: 'die Grenze war Sonntag, 7. Juni 2026 um 10:00 erreicht',
      over: 'über der Grenze',
    },
  ],
])('a page in %s', (language, words) => {
  let shop: Workshop;
  let desk: Desk;
  let car: string;
  let top: string;
  beforeAll(async () => {
    shop = await openWorkshop('2026-06-12T09:00:00.000Z');
    await shop.call('PATCH', '/v1/organisation', { language }, { 'if-match': '*' });
    const { carId, topId } = await fitted(shop, {
      top: { fittedOn: '2024-06-10', warranties: [{ part: 'cover', months: 24 }] },
    });
    car = `/cars/${carId}`;
    top = `/tops/${topId}`;
    desk = await openDesk(shop);
    const folded = { position: 'folded', at: '2026-06-04T09:00:00Z' };
    await shop.post(`/v1${car}/position`, folded);
  });
  afterAll(() => shop.close());
  const said = async (url: string) => wordsOf((await desk.open(url)).html).replace(/\s+/g, ' ');

  it('calls no frame good of which nothing was measured', async () => {
    const page = await said(top);
    expect(page).toContain(words.unmeasured);
    expect(page).not.toMatch(words.good);
  });

  it('counts no washers at a latch, which takes none', async () => {
    const readings = [{ pivot: 'L-LATCH', state: 'free', oiled: true }];
    const visit = { kind: 'lubrication', doneOn: '2026-06-11', readings };
    const { status, body } = await shop.post(`/v1${top}/visits`, visit);
    expect([status, body.detail]).toEqual([201, undefined]);
    for (const url of [
      top,
      car,
      `/visits/${body.id}/record`,
      `${top}/visit`,
      `${top}/bench-sheet`,
    ]) {
      expect([url, words.none.exec(await said(url))]).toEqual([url, null]);
    }
  });

  it('says of a warranty that is over when it ended', async () => {
    expect(await said(top)).toContain(words.ended);
  });

  it('says with its date when a limit was reached, and nothing of it once the top is up', async () => {
    expect(await said(car)).toContain(words.reached);
    await shop.post(`/v1${car}/position`, { position: 'raised', at: '2026-06-12T08:00:00Z' });
    const after = await said(car);
    expect(after).not.toContain(words.reached);
    expect(after).not.toContain(words.over);
  });
});
