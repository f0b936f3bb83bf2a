import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Desk } from '../pages/desk.ts';
import { openDesk, wordsOf } from '../pages/desk.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

const NOW = '2026-06-12T09:00:00.000Z';
const SEIZED = [{ pivot: 'R-MAIN', state: 'seized', oiled: false }];

let shop: Workshop;
let desk: Desk;
beforeEach(async () => {
  shop = await openWorkshop(NOW);
  desk = await openDesk(shop);
});
afterEach(() => shop.close());

async function staying(owner: object = {}): Promise<CarAndTop> {
  const ids = await fitted(shop, {
    owner,
    car: { registration: 'STUCK 1' },
    top: { fittedOn: '2026-01-10' },
  });
  const look = { kind: 'look', doneOn: '2026-06-10', readings: SEIZED };
  expect((await shop.post(`/v1/tops/${ids.topId}/visits`, look)).status).toBe(201);
  return ids;
}

const page = async (path: string) => (await desk.open(path)).html;

describe('the owner of a top that must stay, without a telephone number', () => {
  it('is to be written to: the day and the calls lead to the words, ready in her language', async () => {
    const { ownerId } = await staying({ language: 'de', email: 'a+b@example.org' });
    for (const path of ['/today', '/calls']) {
      const html = await page(path);
      expect(html).toContain(`href="/owners/${ownerId}#write"`);
      expect(wordsOf(html)).not.toContain('Ring: say that it must stay');
    }
    expect((await shop.get('/v1/calls')).body.items[0].deed).toMatch(/^write: say that it must/);
    const html = await page(`/owners/${ownerId}`);
    const write = /<section class="stay" id="write">.*?<\/section>/s.exec(html)?.[0] ?? '';
    expect(wordsOf(write)).toContain('Bewegen Sie das Verdeck von STUCK 1 nicht');
    const mail = /href="mailto:([^"]+)"/.exec(write)?.[1]?.replaceAll('&amp;', '&') ?? '';
    const [address = '', query = ''] = mail.split('?');
    expect(decodeURIComponent(address)).toBe('a+b@example.org');
    const said = new Map(query.split('&').map((pair) => pair.split('=') as [string, string]));
    expect(decodeURIComponent(said.get('subject') ?? '')).toContain('bitte vorerst so lassen');
    const body = decodeURIComponent(said.get('body') ?? '');
    expect(body).toContain('Bewegen Sie das Verdeck von STUCK 1 nicht');
    expect(body).toContain('Decken Sie es locker ab');
  });

  it('is rung where a number is noted, and has nothing to be written once it is mended', async () => {
    const { ownerId, topId } = await staying({ phone: '01632 960 001' });
    const html = await page('/today');
    expect(html).not.toContain('#write');
    expect((await shop.get('/v1/calls')).body.items[0].deed).toMatch(/^ring: say that it must/);
    expect(await page(`/owners/${ownerId}`)).toContain('id="write"');
    const repaired = [{ pivot: 'R-MAIN', state: 'free', oiled: true, repaired: true }];
    await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'repair',
      doneOn: '2026-06-12',
      readings: repaired,
    });
    expect(await page(`/owners/${ownerId}`)).not.toContain('id="write"');
  });
});

describe('the page of a car whose top must stay', () => {
  const top = (html: string) =>
    /<section class="sheet" id="the-top">.*?<\/section>/s.exec(html)?.[0] ?? '';

  it('has no button that moves it, only one that puts the log right', async () => {
    const { carId } = await staying();
    const position = { position: 'folded', at: '2026-06-01T08:00:00Z' };
    expect((await shop.post(`/v1/cars/${carId}/position`, position)).status).toBe(201);
    const html = top(await page(`/cars/${carId}`));
    expect(html).not.toContain('Raised now');
    expect(html).not.toContain('button big');
    expect(wordsOf(html)).toContain('It was moved all the same? Put the log right');
    expect(wordsOf(html)).toContain('Leave it: the limit does not count now.');
  });

  it('says once more that it is to be left when it was moved all the same', async () => {
    const { carId } = await staying();
    const sent = await desk.send(await desk.open(`/cars/${carId}`), `/cars/${carId}/position`, {
      position: 'folded',
    });
    const html = await page(String(sent.headers.location));
    expect(wordsOf(html)).toContain('Noted: folded. Leave the top as it is from now on.');
  });
});

describe('fault finding', () => {
  const SHORT = 'one-side-drops=yes&pin-or-bolt-broken=yes&arm-differs=yes';

  it('says nothing of moving with care once what is seen says to leave it', async () => {
    const { carId, topId } = await fitted(shop, { top: { fittedOn: '2026-01-10' } });
    const readings = [{ pivot: 'R-MAIN', state: 'stiff', oiled: true }];
    await shop.post(`/v1/tops/${topId}/visits`, { kind: 'look', doneOn: '2026-06-10', readings });
    const before = wordsOf(await page(`/cars/${carId}/fault-finding`));
    expect(before).toContain('but only with care');
    expect(before).not.toContain('only if it');
    const html = await page(`/cars/${carId}/fault-finding?${SHORT}`);
    expect(html).toContain('Leave it as it stands');
    expect(wordsOf(html)).not.toContain('but only with care');
  });

  it('ticks the report to the owner where the top must stay, and only there', async () => {
    const { carId } = await fitted(shop, { top: { fittedOn: '2026-01-10' } });
    const tell = async (query: string) =>
      /<input[^>]*name="tell"[^>]*>/.exec(await page(`/cars/${carId}/fault-finding?${query}`))?.[0];
    expect(await tell(SHORT)).toContain('checked');
    const small = await tell('side-edge-loose=yes&cable-end-frayed=yes');
    expect(small).toBeDefined();
    expect(small).not.toContain('checked');
  });

  it('asks for nothing at the latches, half open or folded unless it stands so', async () => {
    const { carId } = await staying();
    const html = wordsOf(await page(`/cars/${carId}/fault-finding`));
    expect(html).toContain('The joints, only if it stands half open already');
    expect(html).toContain('Folded, only if it stands so already');
    expect(html).toContain('At the latches, only if it is unlatched already');
  });
});

describe('a visit of a top that must stay', () => {
  it('is booked and looked at under the same ban', async () => {
    const { topId } = await staying();
    expect(await page(`/tops/${topId}/booking?kind=repair`)).toContain('class="stay"');
    const visit = { kind: 'repair', plannedOn: '2026-06-22' };
    const { body } = await shop.post(`/v1/tops/${topId}/visits`, visit);
    expect(await page(`/visits/${body.id}`)).toContain('class="stay"');
    const free = await fitted(shop, { top: { fittedOn: '2026-01-10' } });
    expect(await page(`/tops/${free.topId}/booking?kind=repair`)).not.toContain('class="stay"');
  });
});
