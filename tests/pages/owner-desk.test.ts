import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { fieldsIn, openDesk, wordsOf } from './desk.ts';
import { browse } from './link-for.ts';

let shop: Workshop;
let desk: Desk;
let ids: CarAndTop;
let own: string;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  desk = await openDesk(shop);
  ids = await fitted(shop, { owner: { phone: '+44 1632 960 001' } });
  own = `/owners/${ids.ownerId}`;
});
afterEach(() => shop.close());

const owner = async () => (await shop.get(`/v1/owners/${ids.ownerId}`)).body;

describe('the page of an owner', () => {
  it('says where letters go, what was refused, and which cars there are', async () => {
    await shop.call(
      'PUT',
      `/v1/owners/${ids.ownerId}/preferences`,
      { refused: ['offers'], words: 'No.' },
      { 'if-match': '*' },
    );
    const { html } = await desk.open(own);
    expect(wordsOf(html)).toContain('ada@example.org');
    expect(wordsOf(html)).toContain('refused: weeks offered for a visit');
    expect(html).toContain('href="tel:+441632960001"');
    expect(html).toContain(`href="/cars/${ids.carId}"`);
    expect((await desk.open(`/cars/${ids.carId}`)).html).toContain(`href="${own}"`);
  });

  it('puts a dead address right, so that letters are written again', async () => {
    const { addressHash, organisationId } =
      await shop.context.store.records.owner.findUniqueOrThrow({
        where: { id: ids.ownerId },
      });
    await shop.context.store.write(({ records }) =>
      records.addressStanding.create({
        data: {
          organisationId,
          addressHash,
          refusedTopics: '[]',
          deadSince: '2026-06-01T09:00:00.000Z',
          deadWhy: 'no such mailbox',
        },
      }),
    );
    const today = await desk.open('/today');
    expect(today.html).toContain(`href="${own}"`);
    const page = await desk.open(own);
    expect(wordsOf(page.html)).toContain('Nothing is written to this address since 1 June 2026');
    const wrong = await desk.send(page, own, { email: 'ada.quill@', name: 'Ada Quill-Brook' });
    expect(wrong.status).toBe(400);
    expect(wordsOf(/id="email-fault">(.*?)<\/p>/s.exec(wrong.html)?.[1] ?? '')).toContain(
      'Give one plain address',
    );
    expect(fieldsIn(wrong.html, own)).toMatchObject({
      email: 'ada.quill@',
      name: 'Ada Quill-Brook',
      phone: '+44 1632 960 001',
    });
    const answer = await desk.send(wrong, own, {
      email: 'ada.quill@example.net',
      phone: '',
      refusesCalls: 'yes',
    });
    expect([answer.status, answer.headers.location]).toEqual([303, `${own}?done=changed`]);
    expect(await owner()).toMatchObject({
      name: 'Ada Quill-Brook',
      email: 'ada.quill@example.net',
      phone: null,
      refusesCalls: true,
      timeZone: 'Europe/London',
    });
    expect(wordsOf((await desk.open(own)).html)).not.toContain('Nothing is written');
  });

  it('lets nobody overwrite what somebody else put right meanwhile', async () => {
    const page = await desk.open(own);
    await shop.call('PATCH', `/v1${own}`, { phone: '+44 1' }, { 'if-match': '*' });
    const late = await desk.send(page, own, { name: 'Ada B. Quill' });
    expect(late.status).toBe(409);
    expect(wordsOf(late.html)).toContain('Somebody else changed this');
    expect(wordsOf(late.html)).toContain('+44 1');
    expect(fieldsIn(late.html, own)['name']).toBe('Ada B. Quill');
    expect((await owner()).name).toBe('Ada Quill');
    expect((await desk.send(late, own)).status).toBe(303);
    expect((await owner()).name).toBe('Ada B. Quill');
  });

  it('makes one link however often it is asked, shows it, and draws its card', async () => {
    const page = await desk.open(own);
    const links = () => shop.context.store.records.link.count({ where: { purpose: 'owner-page' } });
    const before = await links();
    const first = await desk.send(page, `${own}/links`);
    const again = await desk.send(page, `${own}/links`);
    expect([first.status, again.status, again.html]).toEqual([200, 200, first.html]);
    expect(first.headers['cache-control']).toBe('no-store');
    expect(await links()).toBe(before + 1);
    const url = /href="https:\/\/care\.example\.org(\/o\/[\w-]+)"/.exec(first.html)?.[1] ?? '';
    expect((await browse(shop, 'GET', url)).status).toBe(200);
    expect(first.html).toContain(`href="${url}/card"`);
    expect(first.html).toContain('<svg class="code');
    // Nothing in the database can open the page.
    const rows = await shop.context.store.records.idempotentAnswer.findMany();
    expect(JSON.stringify(rows)).not.toContain(url.slice(3));
  });

  it('is closed to other organisations, and to keys that only read as far as forms go', async () => {
    const fields = fieldsIn((await desk.open(own)).html, own);
    const stranger = await openDesk(shop, await shop.keyFor('Another Club'));
    const reader = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops', 'read'));
    expect((await stranger.open(own)).status).toBe(404);
    expect((await reader.open(own)).status).toBe(200);
    expect((await reader.open(own)).html).not.toContain(`action="${own}`);
    for (const url of [own, `${own}/links`]) {
      expect([url, (await stranger.post(url, fields)).status]).toEqual([url, 404]);
      expect([url, (await reader.post(url, fields)).status]).toEqual([url, 403]);
    }
    expect(await owner()).toMatchObject({ version: 1 });
  });
});
