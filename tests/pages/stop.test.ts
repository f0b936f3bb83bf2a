import { request as httpRequest } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { browse, linkFor, wholeDatabase } from './link-for.ts';

let shop: Workshop;
let ownerId: string;
let carId: string;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  ({ ownerId, carId } = await fitted(shop, { top: { fittedOn: '2025-05-10' } }));
});
afterEach(() => shop.close());

const preferences = async () => (await shop.get(`/v1/owners/${ownerId}/preferences`)).body;
const kindsIn = async (state: string) =>
  (await shop.get(`/v1/letters?carId=${carId}&state=${state}`)).body.items
    .map((letter: { kind: string }) => letter.kind)
    .sort();

// RFC 8058, section 8.1: the request of the first example, its body byte for byte.
const U1 = { type: 'application/x-www-form-urlencoded', body: 'List-Unsubscribe=One-Click' };
// The example of section 8.3 is broken as printed; the same fields in a well-formed body.
const U3 = {
  type: 'multipart/form-data; boundary=X',
  body: '--X\r\nContent-Disposition: form-data; name="List-Unsubscribe"\r\n\r\nOne-Click\r\n--X--\r\n',
};

describe('one-click refusal (RFC 8058)', () => {
  const oneClick = (url: string, { type, body }: typeof U1) =>
    shop.server.inject({
      method: 'POST',
      url,
      headers: { 'content-type': type },
      payload: body,
    });

  it.each([
    ['url-encoded, section 8.1', U1],
    ['as multipart, section 8.3', U3],
    ['as multipart with a quoted boundary', { ...U3, type: 'multipart/form-data; boundary="X"' }],
  ])('stops the topic of the letter, %s', async (_name, vector) => {
    const path = await linkFor(shop, ownerId, 'stop', 'reminders');
    const answer = await oneClick(path, vector);
    expect(answer.statusCode).toBe(200);
    expect(answer.headers).not.toHaveProperty('location');
    expect(answer.headers).not.toHaveProperty('set-cookie');
    const { refused, consent } = await preferences();
    expect(refused).toEqual(['reminders']);
    expect(consent).toMatchObject([
      {
        topic: 'reminders',
        given: false,
        at: '2026-06-12T09:00:00.000Z',
        words: 'List-Unsubscribe=One-Click',
      },
    ]);
    expect(consent[0].by).toMatch(/^stop-link:/);
  });

  it('takes the address as the header gives it, query and all (section 8.2)', async () => {
    expect(U1.body).toHaveLength(26);
    const path = await linkFor(shop, ownerId, 'stop', 'offers');
    const answer = await oneClick(`${path}?opaque=123456789`, U1);
    expect(answer.statusCode).toBe(200);
    expect((await preferences()).refused).toEqual(['offers']);
  });

  it('works over a socket with the headers of section 8.1 and no others', async () => {
    const path = await linkFor(shop, ownerId, 'stop', 'reminders');
    await shop.server.listen({ host: '127.0.0.1', port: 0 });
    const { port } = shop.server.server.address() as AddressInfo;
    const status = await new Promise<number | undefined>((resolve, reject) => {
      const headers = { host: 'example.com', 'content-type': U1.type, 'content-length': '26' };
      const request = httpRequest(
        { host: '127.0.0.1', port, path, method: 'POST', headers, agent: false },
        (response) => {
          response.resume();
          response.on('end', () => resolve(response.statusCode));
        },
      );
      request.on('error', reject);
      request.end(U1.body);
    });
    expect(status).toBe(200);
    expect((await preferences()).refused).toEqual(['reminders']);
  });

  it('may be repeated: nothing is recorded twice', async () => {
    const path = await linkFor(shop, ownerId, 'stop', 'reminders');
    await oneClick(path, U1);
    shop.setNow('2026-06-12T09:10:00.000Z');
    expect((await oneClick(path, U3)).statusCode).toBe(200);
    expect((await preferences()).consent).toHaveLength(1);
  });

  it('cancels the unsent letters of the topic at once, and no others', async () => {
    await shop.post(`/v1/cars/${carId}/position`, {
      position: 'folded',
      at: '2026-06-08T08:00:00Z',
    });
    await shop.post('/v1/round', {});
    expect(await kindsIn('planned')).toEqual(
      expect.arrayContaining(['folded-over', 'lubrication-late']),
    );
    await oneClick(await linkFor(shop, ownerId, 'stop', 'reminders'), U1);
    expect(await kindsIn('cancelled')).toEqual(['lubrication-late']);
    expect(await kindsIn('planned')).toContain('folded-over');
    await shop.post('/v1/round', {});
    expect(await kindsIn('planned')).not.toContain('lubrication-late');
  });

  it.each([
    ['another value', { ...U1, body: 'List-Unsubscribe=Two-Click' }, 400],
    ['no body', { ...U1, body: '' }, 400],
    ['a large body', { ...U1, body: `x=${'y'.repeat(1100)}` }, 413],
    ['JSON', { type: 'application/json', body: '{"a":1}' }, 400],
    ['another type', { type: 'text/csv', body: U1.body }, 415],
    ['multipart without a boundary', { ...U3, type: 'multipart/form-data' }, 400],
    ['multipart with another boundary', { ...U3, type: 'multipart/form-data; boundary=Y' }, 400],
  ])('refuses %s and changes nothing', async (_name, vector, status) => {
    const path = await linkFor(shop, ownerId, 'stop', 'reminders');
    const before = await wholeDatabase(shop);
    expect((await oneClick(path, vector)).statusCode).toBe(status);
    expect(await wholeDatabase(shop)).toBe(before);
  });
});

describe('the stop page', () => {
  it('shows what comes and changes nothing, by GET or HEAD', async () => {
    const path = await linkFor(shop, ownerId, 'stop', 'reminders');
    const before = await wholeDatabase(shop);
    const page = await browse(shop, 'GET', path);
    expect(page.status).toBe(200);
    expect(page.html).toContain('a•••@example.org');
    expect(page.html).not.toContain('ada@example.org');
    expect((await browse(shop, 'HEAD', path)).status).toBe(200);
    expect(await wholeDatabase(shop)).toBe(before);
    expect(page.headers).toMatchObject({
      'cache-control': 'no-store',
      'referrer-policy': 'no-referrer',
      'x-robots-tag': 'noindex',
      'content-security-policy':
        "default-src 'none';style-src 'self';img-src 'self' data:;form-action 'self';frame-ancestors 'none';base-uri 'none'",
    });
  });

  it('stops, stops all, sends fewer and undoes, each by its button', async () => {
    const path = await linkFor(shop, ownerId, 'stop', 'folded-limit');
    const press = async (wish: string) => {
      const page = await browse(shop, 'POST', path, { wish });
      expect(page.status).toBe(200);
      expect(page.html).toContain('role="status"');
      return (await preferences()).refused;
    };
    expect(await press('fewer')).toEqual(['care-notes']);
    expect(await press('stop')).toEqual(['folded-limit', 'care-notes']);
    expect(await press('stop-all')).toEqual(['reminders', 'folded-limit', 'care-notes', 'offers']);
    expect(await press('undo')).toEqual([]);
    const { consent } = await preferences();
    expect(consent).toHaveLength(8);
    expect(consent.at(-1)).toMatchObject({ given: true, words: 'Undo' });
  });

  it('does not undo what was refused in another way', async () => {
    const set = await shop.call(
      'PUT',
      `/v1/owners/${ownerId}/preferences`,
      { refused: ['offers'], words: 'Said so at the counter.' },
      { 'if-match': '"v0"' },
    );
    expect(set.status).toBe(200);
    const path = await linkFor(shop, ownerId, 'stop', 'reminders');
    expect((await browse(shop, 'GET', path)).html).not.toContain('value="undo"');
    await browse(shop, 'POST', path, { wish: 'stop' });
    await browse(shop, 'POST', path, { wish: 'undo' });
    expect((await preferences()).refused).toEqual(['offers']);
  });

  it('speaks the owner’s language and records the words that were pressed', async () => {
    const german = await shop.post('/v1/owners', {
      name: 'Jo Beispiel',
      email: 'jo@example.com',
      language: 'de-AT',
    });
    const path = await linkFor(shop, german.body.id, 'stop', 'reminders');
    const page = await browse(shop, 'GET', path);
    expect(page.html).toContain('<html lang="de">');
    expect(page.html).toContain('Diese Art beenden');
    await browse(shop, 'POST', path, { wish: 'stop' });
    const said = await shop.get(`/v1/owners/${german.body.id}/preferences`);
    expect(said.body.consent[0].words).toBe('Diese Art beenden');
  });

  it('refuses for good: erasing the owner and adding the address again changes nothing', async () => {
    await browse(shop, 'POST', await linkFor(shop, ownerId, 'stop', 'reminders'), { wish: 'stop' });
    await shop.call('DELETE', `/v1/owners/${ownerId}`, undefined, { 'if-match': '*' });
    const again = await fitted(shop, {
      owner: { email: 'Ada@Example.org' },
      top: { fittedOn: '2025-05-10' },
    });
    const standing = await shop.get(`/v1/owners/${again.ownerId}/preferences`);
    expect(standing.body.refused).toEqual(['reminders']);
    const round = await shop.post('/v1/round', {});
    const kinds = round.body.letters.map((letter: { kind: string }) => letter.kind);
    expect(kinds).not.toContain('lubrication-late');
  });

  it('escapes what the records say', async () => {
    shop.key = await shop.keyFor('<script>alert(1)</script>');
    const owner = await shop.post('/v1/owners', { name: 'x', email: '&a@example.org' });
    const path = await linkFor(shop, owner.body.id, 'stop', 'reminders');
    const { html } = await browse(shop, 'GET', path);
    expect(html).not.toContain('<script');
    expect(html).toContain('&lt;script&gt;alert(1)&lt;/script&gt;');
  });
});

describe('links that open nothing', () => {
  it('get one answer, whatever the reason: unknown, of an erased owner, of another purpose', async () => {
    const erased = await fitted(shop, { owner: { email: 'b@example.org' } });
    const ofErased = await linkFor(shop, erased.ownerId, 'stop', 'reminders');
    await shop.call('DELETE', `/v1/owners/${erased.ownerId}`, undefined, { 'if-match': '*' });
    const page = await linkFor(shop, ownerId, 'owner-page');
    const answers = [];
    for (const path of ['/u/unknown', ofErased, page.replace('/o/', '/u/')]) {
      for (const method of ['GET', 'POST'] as const) {
        const form = method === 'POST' ? { 'List-Unsubscribe': 'One-Click' } : undefined;
        const { status, html } = await browse(shop, method, path, form);
        answers.push(JSON.stringify([status, html]));
      }
    }
    expect(new Set(answers).size).toBe(1);
    expect(answers[0]).toContain('404');
    expect((await preferences()).refused).toEqual([]);
  });

  it('are counted by address: 429 with Retry-After (RFC 6585, section 4), good links go on', async () => {
    const good = await linkFor(shop, ownerId, 'stop', 'reminders');
    for (let i = 0; i < 30; i++) expect((await browse(shop, 'GET', `/u/${i}`)).status).toBe(404);
    const refused = await browse(shop, 'GET', '/u/one-more');
    expect(refused.status).toBe(429);
    expect(refused.headers['content-type']).toContain('application/problem+json');
    expect(Number(refused.headers['retry-after'])).toBeGreaterThan(0);
    expect(refused.headers['cache-control']).toBe('no-store');
    expect((await browse(shop, 'GET', good)).status).toBe(200);
  });
});

describe('preferences', () => {
  it('are set in the owner’s words, against the version that was read', async () => {
    const put = (body: object, headers = {}) =>
      shop.call('PUT', `/v1/owners/${ownerId}/preferences`, body, headers);
    const body = { refused: ['care-notes', 'offers'], words: 'By letter of 2 June.' };
    expect((await put(body)).status).toBe(428);
    expect((await put(body, { 'if-match': '"v3"' })).status).toBe(412);
    const set = await put(body, { 'if-match': '"v0"' });
    expect(set.body).toMatchObject({ refused: ['care-notes', 'offers'], version: 2 });
    expect(set.headers['etag']).toBe('"v2"');
    const back = await put({ refused: ['offers'], words: 'Changed mind.' }, { 'if-match': '"v2"' });
    expect(back.body).toMatchObject({ refused: ['offers'], version: 3 });
    expect((await put({ refused: ['visits'], words: 'x' }, { 'if-match': '*' })).status).toBe(400);
  });

  it('belong to the organisation: another one gets 404', async () => {
    shop.key = await shop.keyFor('Another Club');
    expect((await shop.get(`/v1/owners/${ownerId}/preferences`)).status).toBe(404);
  });
});
