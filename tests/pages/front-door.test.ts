import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { makeKey } from '../../src/usecases/organisations/organisations.ts';
import { PASSKEY_SCRIPT } from '../../src/http/pages/frame/script.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { openDesk, wordsOf } from './desk.ts';
import { isEnglish, textsOf } from './languages/english-texts.ts';

let shop: Workshop;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
});
afterEach(() => shop.close());

const keyOf = async (kind: 'shop' | 'club' | 'private', language = 'en') =>
  (await makeKey(shop.context, { name: `The ${kind}`, kind, language }, 'full')).key;

describe('the page that a sign-in opens', () => {
  it.each([
    ['shop', '/today'],
    ['club', '/members'],
    ['private', '/mine'],
  ] as const)('is that of a %s', async (kind, front) => {
    const desk = await openDesk(shop, await keyOf(kind));
    expect((await desk.open('/home')).headers.location).toBe(front);
  });

  it('is asked for where nobody is signed in', async () => {
    const desk = await openDesk(shop, 'fk_wrong');
    for (const path of ['/home', '/mine']) {
      expect((await desk.open(path)).headers.location).toBe('/sign-in');
    }
  });
});

describe('the front page of a private owner', () => {
  let desk: Desk;
  let car: CarAndTop;
  beforeEach(async () => {
    shop.key = await keyOf('private');
    desk = await openDesk(shop, shop.key);
    car = await fitted(shop, { car: { registration: 'MINE 1' } });
  });

  it('shows her cars with one tap for each, and no stock, bench or calls', async () => {
    const { html, status } = await desk.open('/mine');
    expect(status).toBe(200);
    expect(html).toContain('MINE 1');
    expect(html).toContain('href="/mine" aria-current="page"');
    for (const of of ['/today', '/tops"', 'Ring', 'To order', '/find']) {
      expect(html).not.toContain(of);
    }
    const folded = await desk.post(`/mine/cars/${car.carId}/position`, { position: 'folded' });
    expect(folded.headers.location).toBe('/mine?done=folded');
    const after = wordsOf((await desk.open('/mine?done=folded')).html);
    expect(after).toContain('folded');
    expect(after).toContain('3 days');
  });

  it('gives back a time that is still to come as it was understood', async () => {
    const when = '2026-06-20 10:00';
    const at = `/mine/cars/${car.carId}/position`;
    const { html, status } = await desk.post(at, { position: 'folded', when });
    expect(status).toBe(400);
    expect(html).toContain('value="20 Jun 2026 10:00"');
    expect(html).toContain('is still to come');
    expect(html).toContain('href="/mine" aria-current="page"');
  });

  it('asks her for a car without asking who she is, and nothing that a shop asks', async () => {
    const page = await desk.open('/new');
    const { html } = page;
    expect(html).toContain('<h1>A car of yours</h1>');
    expect(html).toMatch(/<input type="hidden" name="owner" value="[\w-]+">/);
    for (const of of ['New car in care', 'Wants no calls', 'Known already?']) {
      expect(html).not.toContain(of);
    }
    const car2 = {
      registration: 'MINE 2',
      fittedOn: '2025-05-01',
      framePattern: 'two-seat-manual',
      'cover/material': 'cloth',
      window: 'glass',
    };
    const came = await desk.send(page, '/new', car2);
    expect(came.headers.location).toBe('/mine');
    expect((await desk.open('/mine')).html).toContain('MINE 2');
    expect((await shop.get('/v1/owners')).body.items).toHaveLength(1);
  });

  it('takes back what was wrong, and counts the oil from the day it was told', async () => {
    await desk.post(`/mine/cars/${car.carId}/position`, { position: 'folded' });
    const page = await desk.open('/mine');
    const withdraw = /action="(\/mine\/cars\/[\w-]+\/entries\/[\w-]+\/withdraw)"/.exec(
      page.html,
    )?.[1];
    await desk.post(withdraw ?? '', {});
    expect((await shop.get(`/v1/cars/${car.carId}/position`)).body.stretch).toBeNull();
    await desk.post(`/mine/cars/${car.carId}/oiled`, {});
    const { lubrication } = (await shop.get(`/v1/tops/${car.topId}`)).body;
    expect(lubrication.lastOn).toBe('2026-06-12');
    await desk.post(`/mine/cars/${car.carId}/oiled/withdraw`, {});
    expect((await shop.get(`/v1/tops/${car.topId}`)).body.lubrication.lastOn).not.toBe(
      '2026-06-12',
    );
  });

  it('takes no form from another site, and none about a car of somebody else', async () => {
    const own = `/mine/cars/${car.carId}/position`;
    const foreign = { 'sec-fetch-site': 'cross-site' };
    expect((await desk.post(own, { position: 'folded' }, foreign)).headers.location).toBe('/home');
    const other = await openDesk(shop, await keyOf('shop'));
    expect((await other.post(own, { position: 'folded' })).headers.location).toBe('/home');
    expect((await shop.get(`/v1/cars/${car.carId}/position`)).body.position).not.toBe('folded');
  });

  it('lets a key that only reads look and change nothing', async () => {
    const key = (await makeKey(shop.context, { name: 'The private' }, 'read')).key;
    const reading = await openDesk(shop, key);
    expect((await reading.open('/mine')).status).toBe(200);
    await reading.post(`/mine/cars/${car.carId}/position`, { position: 'folded' });
    expect((await shop.get(`/v1/cars/${car.carId}/position`)).body.stretch).toBeNull();
  });
});

it('speaks German to a German owner, in the links above the page too', async () => {
  const desk = await openDesk(shop, await keyOf('private', 'de'));
  const { html } = await desk.open('/mine');
  expect(html).toContain('<html lang="de">');
  expect(html).toContain('>Meine Wagen</a>');
  expect(html).toContain('Abmelden');
});

describe('the first page, before anybody has signed in', () => {
  const frontIn = async (language: string) =>
    (await shop.server.inject({ url: '/', headers: { 'accept-language': language } })).body;

  it('speaks the language that the browser asks for, and English where it knows none of them', async () => {
    const german = await frontIn('fr;q=0.9, de-AT');
    expect(german).toContain('<html lang="de">');
    expect(textsOf(german).filter(isEnglish)).toEqual([]);
    expect(wordsOf(german)).toContain('Hält Verdecke am Leben');
    const english = await frontIn('fr');
    expect(english).toContain('<html lang="en">');
    expect(wordsOf(english)).toContain('Keeps convertible tops alive');
  });

  it('has the words of passkeys in its language for the script to say', async () => {
    const signIn = await shop.server.inject({
      url: '/sign-in',
      headers: { 'accept-language': 'de' },
    });
    expect(signIn.body).toContain('data-known="Dieses Gerät hat schon einen Passkey für Sie."');
    const script = (await shop.server.inject({ url: PASSKEY_SCRIPT.address })).body;
    // Nothing that it says stands in it: a sentence would begin with a capital letter and end with a point.
    expect(script.match(/['`][A-Z][^'`]+\.['`]/g)).toBeNull();
    for (const [, part] of script.matchAll(/said\.dataset\.(\w+)/g)) {
      const attribute = `data-${(part ?? '').replaceAll(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}="`;
      expect(signIn.body).toContain(attribute);
    }
  });
});
