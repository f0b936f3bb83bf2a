import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { FastifyInstance } from 'fastify';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { traySender } from '../../src/mail/tray.ts';
import { signIn } from '../../src/usecases/organisations/sign-in.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { serverFor } from './pages-server.ts';

let shop: Workshop;
let folder: string;
let server: FastifyInstance;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  folder = mkdtempSync(join(tmpdir(), 'foldkeep-tray-'));
  server = await serverFor(shop.context, { publicUrl: 'http://127.0.0.1:8620', mailTray: folder });
});
afterEach(async () => {
  await server.close();
  await shop.close();
  rmSync(folder, { recursive: true, force: true });
});

/** Writes a letter of the shop whose key is set into the tray, as the delivery would. */
async function deliverOne(owner: object): Promise<void> {
  await fitted(shop, { owner, top: { fittedOn: '2025-06-12' } });
  const { body } = await shop.post('/v1/round', {});
  const sender = traySender(folder);
  for (const letter of body.letters) {
    await sender.send({
      messageId: letter.messageId,
      date: letter.date,
      from: { name: 'Shop', address: 'shop@example.org' },
      to: letter.to,
      subject: letter.subject,
      text: letter.text,
      html: letter.html,
      headers: {},
    });
  }
  await sender.close();
}

const get = (url: string, headers: Record<string, string> = {}) => server.inject({ url, headers });
const namesIn = async (headers = {}) =>
  (await get('/tray.json', headers)).json().items.map(({ name }: { name: string }) => name);

describe('the mail tray', () => {
  it('lists its letters, shows each as text and in a sandbox, and gives out the message', async () => {
    await deliverOne({ email: 'ada@example.org' });
    const [name] = await namesIn();
    const list = await get('/tray');
    expect(list.statusCode).toBe(200);
    expect(list.body).toContain(`href="/tray/${name}"`);
    const page = await get(`/tray/${name}`);
    expect(page.body).toMatch(/<iframe [^>]*\bsandbox\b(?!=)[^>]*srcdoc="&lt;!doctype html&gt;/);
    expect(page.body).not.toMatch(/<script|sandbox="[^"]*allow/);
    expect(page.headers['content-security-policy']).toBe(
      "default-src 'none';style-src 'self' 'unsafe-inline';img-src 'self' data:;form-action 'self';frame-ancestors 'none';base-uri 'none'",
    );
    expect(page.body).toMatch(
      /<a class="place" href="https:\/\/care\.example\.org\/[ou]\/[\w-]{43}"/,
    );
    const message = await get(`/tray/${name}/letter.eml`);
    expect(message.headers['content-type']).toBe('message/rfc822');
    expect(message.headers['content-disposition']).toContain('attachment');
    expect(message.body).toMatch(/^(.+\r\n)+/);
    expect(message.body).toContain('Message-ID: <');
  });

  it.each(['nothing', '..%2F..%2Fetc%2Fpasswd', 'x%2e%2e%2fx', 'a%00b'])(
    'has no letter %s',
    async (name) => {
      expect((await get(`/tray/${name}`)).statusCode).toBe(404);
      expect((await get(`/tray/${name}/letter.eml`)).statusCode).toBe(404);
    },
  );

  it('escapes what a letter says', async () => {
    const hostile = '</iframe><script>alert(1)</script>"onload="x';
    const letter = {
      messageId: '<x@example.org>',
      to: hostile,
      subject: hostile,
      date: '2026-06-12T09:00:00.000Z',
      text: `${hostile} https://example.org/"><script>`,
      html: hostile,
    };
    writeFileSync(join(folder, 'x.json'), JSON.stringify(letter));
    const { body } = await get('/tray/x');
    expect(body).not.toContain('<script');
    expect(body.match(/<\/iframe>/g)).toHaveLength(1);
    expect((await get('/tray')).body).not.toContain('<script');
  });

  it('is open without sign-in only at the machine of a server for this machine', async () => {
    const open = async (app: FastifyInstance, headers: Record<string, string>, ip = '127.0.0.1') =>
      (await app.inject({ url: '/tray', headers, remoteAddress: ip })).statusCode;
    expect(await open(server, { host: 'localhost:8620' })).toBe(200);
    expect(await open(server, { host: '[::1]:8620' }, '::1')).toBe(200);
    expect(await open(server, { host: '127.0.0.1:8620' }, '::ffff:127.0.0.1')).toBe(200);
    expect(await open(server, { host: '127.0.0.1:8620' }, '192.0.2.7')).toBe(303);
    // Another name that was pointed at this machine, or a request that a proxy passed on.
    expect(await open(server, { host: 'evil.example.net' })).toBe(303);
    expect(await open(server, { host: '127.0.0.1', 'x-forwarded-for': '192.0.2.7' })).toBe(303);
    expect(await open(server, { host: '127.0.0.1', forwarded: 'for=192.0.2.7' })).toBe(303);
    const published = await serverFor(shop.context, { mailTray: folder });
    expect(await open(published, { host: '127.0.0.1' })).toBe(303);
    await published.close();
  });

  it('shows a signed-in organisation its own letters alone', async () => {
    await deliverOne({ email: 'ada@example.org' });
    const mine = await namesIn();
    const own = shop.key;
    shop.key = await shop.keyFor('Another Club');
    await deliverOne({ email: 'bo@example.com' });
    const all: string[] = await namesIn();
    expect(all.length).toBeGreaterThan(mine.length);
    const session = await signIn(shop.context, own);
    const cookie = `foldkeep=${session.kind === 'signed-in' ? session.token : ''}`;
    expect(await namesIn({ cookie })).toEqual(mine);
    const others = all.find((name) => !mine.includes(name)) ?? '';
    expect((await get(`/tray/${others}`)).statusCode).toBe(200);
    for (const tail of ['', '/letter.eml']) {
      expect((await get(`/tray/${others}${tail}`, { cookie })).statusCode).toBe(404);
    }
  });

  it('is not there where letters leave by a mail server', async () => {
    expect((await shop.get('/tray')).status).toBe(404);
    expect((await shop.get('/')).body).not.toContain('/tray');
    expect((await get('/')).body).toContain('href="/tray"');
  });
});
