import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { senderFor } from '../../src/mail/sender-for.ts';
import { deliverLetters } from '../../src/usecases/delivery/deliver-letters.ts';
import { signIn } from '../../src/usecases/organisations/sign-in.ts';
import { browse } from '../pages/link-for.ts';
import { serverFor } from '../pages/pages-server.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

const LINK = /\/(?:u|o|b|calendar)\/[\w-]{43}/g;

let shop: Workshop;
let letterId: string;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  await fitted(shop, { top: { fittedOn: '2025-06-12' } });
  const { body } = await shop.post('/v1/round', {});
  letterId = body.letters[0].id;
});
afterEach(() => shop.close());

/** Everything that a key can read about letters. */
async function seenOfLetters(key: string): Promise<string> {
  const whose = shop.key;
  shop.key = key;
  const list = await shop.get('/v1/letters');
  const one = await shop.get(`/v1/letters/${letterId}`);
  shop.key = whose;
  expect([list.status, one.status]).toEqual([200, 200]);
  expect(one.body.text).toContain('FK 1');
  return JSON.stringify([list.body, one.body]);
}

describe('a key that may only read', () => {
  it('sees letters without their links, which would let it write as the owner', async () => {
    const whole = await seenOfLetters(shop.key);
    const links = [...new Set(whole.match(LINK))];
    expect(new Set(links.map((link) => link.slice(0, 3)))).toEqual(new Set(['/b/', '/o/', '/u/']));
    const seen = await seenOfLetters(await shop.keyFor('Elmyard Soft Tops', 'read'));
    expect(seen.match(LINK)).toBeNull();
    for (const link of links) expect(seen).not.toContain(link.slice(3));
    // The links themselves are alive: what was kept back would have opened something.
    for (const link of links) expect((await browse(shop, 'GET', link)).status).toBe(200);
  });

  it('sees none in the mail tray either, and gets no message from it', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'foldkeep-tray-'));
    const sender = await senderFor({ smtpUrl: null, mailTray: folder, dkim: null });
    const mailFrom = { name: 'Elmyard', address: 'post@example.org' };
    await deliverLetters(shop.context, sender, { mailFrom });
    const server = await serverFor(shop.context, { mailTray: folder });
    const shownTo = async (scope: 'read' | 'full') => {
      const signed = await signIn(shop.context, await shop.keyFor('Elmyard Soft Tops', scope));
      if (signed.kind !== 'signed-in') throw new Error(signed.kind);
      const headers = { cookie: `__Host-foldkeep=${signed.token}` };
      const list = await server.inject({ url: '/tray.json', headers });
      const [{ name }] = list.json().items;
      const page = await server.inject({ url: `/tray/${name}`, headers });
      const file = await server.inject({ url: `/tray/${name}/letter.eml`, headers });
      return { page, file, list };
    };
    const full = await shownTo('full');
    expect(full.page.body.match(LINK)).not.toBeNull();
    expect(full.file.statusCode).toBe(200);
    const read = await shownTo('read');
    expect(read.page.statusCode).toBe(200);
    expect(read.page.body).toContain('FK 1');
    expect((read.page.body + read.list.body).match(LINK)).toBeNull();
    expect(read.file.statusCode).toBe(404);
    await server.close();
    await sender.close();
    rmSync(folder, { recursive: true, force: true });
  });
});
