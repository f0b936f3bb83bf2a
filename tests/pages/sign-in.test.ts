import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { openWorkshop } from '../setup/workshop.ts';
import { browse, wholeDatabase } from './link-for.ts';
import { serverFor } from './pages-server.ts';

let shop: Workshop;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
});
afterEach(() => shop.close());

const signIn = (key: string, headers: Record<string, string> = {}) =>
  browse(shop, 'POST', '/sign-in', { key }, headers);
const cookieOf = (answer: { headers: Record<string, unknown> }) =>
  String(answer.headers['set-cookie']);
const pairOf = (cookie: string) => cookie.split(';')[0] ?? '';

describe('signing in', () => {
  it('gives a session of 12 hours in a cookie that scripts and other sites cannot use', async () => {
    const answer = await signIn(shop.key);
    expect([answer.status, answer.headers.location]).toEqual([303, '/home']);
    const cookie = cookieOf(answer);
    // 256 bits are 43 characters of base64url (ASVS 5.0, 7.2.3 asks for 128 bits).
    expect(cookie).toMatch(
      /^__Host-foldkeep=[\w-]{43}; Max-Age=43200; Path=\/; HttpOnly; Secure; SameSite=Strict$/,
    );
    const token = pairOf(cookie).split('=')[1] ?? '-';
    expect(await wholeDatabase(shop)).not.toContain(token);
    const today = await browse(shop, 'GET', '/today', undefined, { cookie: pairOf(cookie) });
    expect(today.status).toBe(200);
    shop.setNow('2026-06-12T21:00:00.000Z');
    const later = await browse(shop, 'GET', '/today', undefined, { cookie: pairOf(cookie) });
    expect([later.status, later.headers.location]).toEqual([303, '/sign-in']);
  });

  it('goes on to the page that was asked for, of this server alone', async () => {
    const away = await browse(shop, 'GET', '/tops/abc-1/visit?kind=look');
    expect([away.status, away.headers.location]).toEqual([303, '/sign-in']);
    const wanted = pairOf(cookieOf(away));
    const answer = await signIn(shop.key, { cookie: wanted });
    expect(answer.headers.location).toBe('/tops/abc-1/visit?kind=look');
    const name = wanted.split('=')[0] ?? '';
    // It is asked for once.
    expect(cookieOf(answer)).toContain(`${name}=; Max-Age=0`);
    for (const foreign of ['//bad.example.net', '/\\bad.example.net', 'https://bad.example.net']) {
      const cookie = `${name}=${encodeURIComponent(foreign)}`;
      expect((await signIn(shop.key, { cookie })).headers.location).toBe('/home');
    }
  });

  it('gives a new token each time (ASVS 5.0, 7.2.4)', async () => {
    const [one, two] = [cookieOf(await signIn(shop.key)), cookieOf(await signIn(shop.key))];
    expect(one).not.toBe(two);
  });

  it('leaves Secure out where the server is reached without TLS', async () => {
    const plain = await serverFor(shop.context, { publicUrl: 'http://127.0.0.1:8620' });
    const answer = await plain.inject({
      method: 'POST',
      url: '/sign-in',
      payload: `key=${shop.key}`,
      headers: { 'content-type': 'application/x-www-form-urlencoded' },
    });
    await plain.close();
    expect(String(answer.headers['set-cookie'])).toMatch(/^foldkeep=[\w-]{43};(?!.*Secure)/);
  });

  it.each([
    ['an unknown key', 'fk_wrong', 401],
    ['no key', '', 401],
  ])('refuses %s', async (_name, key, status) => {
    const answer = await signIn(key);
    expect(answer.status).toBe(status);
    expect(answer.headers).not.toHaveProperty('set-cookie');
    expect(answer.html).toContain('There is no such key');
  });

  it('refuses a key that may only log', async () => {
    const answer = await signIn(await shop.keyFor('Elmyard Soft Tops', 'log'));
    expect([answer.status, answer.headers['set-cookie']]).toEqual([403, undefined]);
  });

  it('sends a guesser away after ten wrong keys a minute, and counts no right ones', async () => {
    for (let i = 0; i < 10; i++) {
      expect((await signIn(`fk_${i}`)).status).toBe(401);
      expect((await signIn(shop.key)).status).toBe(303);
    }
    const answer = await signIn('fk_more');
    expect(answer.status).toBe(429);
    expect(Number(answer.headers['retry-after'])).toBeGreaterThan(0);
    expect(answer.headers['cache-control']).toBe('no-store');
  });

  it.each([
    [{ 'sec-fetch-site': 'cross-site' }, 403],
    [{ 'sec-fetch-site': 'same-site' }, 403],
    [{ 'sec-fetch-site': 'same-origin' }, 303],
    [{ origin: 'https://evil.example.net' }, 403],
    [{ origin: 'null' }, 403],
    [{ origin: 'https://care.example.org' }, 303],
    [{ origin: 'http://shop.example.com:8620', host: 'shop.example.com:8620' }, 303],
  ])('takes its own forms alone: %j', async (headers, status) => {
    expect((await signIn(shop.key, headers as never)).status).toBe(status);
  });

  it('ends with signing out, with the key, and for other organisations’ pages', async () => {
    const cookie = pairOf(cookieOf(await signIn(shop.key)));
    const status = async () => (await browse(shop, 'GET', '/today', undefined, { cookie })).status;
    expect(await status()).toBe(200);
    const foreign = { cookie, 'sec-fetch-site': 'cross-site' };
    expect((await browse(shop, 'POST', '/sign-out', {}, foreign)).status).toBe(403);
    expect(await status()).toBe(200);
    const out = await browse(shop, 'POST', '/sign-out', {}, { cookie });
    expect(cookieOf(out)).toMatch(/^__Host-foldkeep=;.*Expires=Thu, 01 Jan 1970/);
    expect(await status()).toBe(303);
    const again = pairOf(cookieOf(await signIn(shop.key)));
    await shop.context.store.records.accessKey
      .findFirstOrThrow()
      .then(({ id }) =>
        shop.context.store.write(({ records }) =>
          records.accessKey.update({ where: { id }, data: { revokedAt: shop.context.now() } }),
        ),
      );
    const after = await browse(shop, 'GET', '/today', undefined, { cookie: again });
    expect(after.status).toBe(303);
  });

  it.each(['/today', '/tops', '/tops/x', '/cars/x'])('%s asks for it', async (url) => {
    for (const cookie of ['', '__Host-foldkeep=', '__Host-foldkeep=abc', 'foldkeep=abc']) {
      const answer = await browse(shop, 'GET', url, undefined, { cookie });
      expect([answer.status, answer.headers.location]).toEqual([303, '/sign-in']);
    }
  });
});
