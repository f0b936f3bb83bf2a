import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { traySender } from '../../src/mail/tray.ts';
import { deliverLetters } from '../../src/usecases/delivery/deliver-letters.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { openDesk, wordsOf } from './desk.ts';

eachDatabase('the book of letters', ({ open }) => {
  let shop: Workshop;
  let desk: Desk;
  const cars: CarAndTop[] = [];
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    desk = await openDesk(shop);
    cars.length = 0;
    for (const [name, registration] of [
      ['Ada Quill', 'LATE 1'],
      ['Bram Oke', 'LATE 2'],
    ] as const) {
      const email = `${registration.replace(' ', '')}@example.org`;
      const top = { fittedOn: '2025-05-10' };
      cars.push(await fitted(shop, { owner: { name, email }, car: { registration }, top }));
      // A round writes to owners whose cars wait equally long in no order of its own.
      await planRound(shop.context, {});
    }
  });
  afterEach(() => shop.close());

  const records = () => shop.context.store.records;
  const book = async (query = '') => wordsOf((await desk.open(`/letters${query}`)).html);

  it('shows what waits and to whom, the newest first, and one letter as it looks', async () => {
    const words = await book();
    expect(words.indexOf('Bram Oke')).toBeGreaterThan(-1);
    expect(words.indexOf('Ada Quill')).toBeGreaterThan(words.indexOf('Bram Oke'));
    expect(words).toContain('waits');
    const { html } = await desk.open('/letters');
    const href = /href="(\/letters\/[\w-]+)"/.exec(html)?.[1] ?? '';
    const page = await desk.open(href);
    expect(page.status).toBe(200);
    expect(wordsOf(page.html)).toContain('Bram Oke, LATE2@example.org');
    expect(page.html).toContain('<iframe class="letter" sandbox');
    expect(String(page.headers['content-security-policy'])).toContain("default-src 'none'");
  });

  it('says of a letter in the mail tray that nobody was written to', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'foldkeep-letters-'));
    const sender = traySender(folder);
    const mailFrom = { name: 'Shop', address: 'shop@example.org' };
    await deliverLetters(shop.context, sender, { mailFrom });
    await sender.close();
    await rm(folder, { recursive: true });
    const words = await book('?heap=sent');
    expect(words).toContain('lies in the mail tray: nobody was written to');
    expect(words).not.toContain('taken by the mail server');
    const { html } = await desk.open('/letters?heap=sent');
    const one = await desk.open(/href="(\/letters\/[\w-]+)"/.exec(html)?.[1] ?? '');
    expect(wordsOf(one.html)).toContain('The mail server said None is set.');
  });

  it('tells apart what waits, what was sent, what did not arrive and what was withdrawn, and why', async () => {
    const { id } = await records().letter.findFirstOrThrow({ where: { toName: 'Ada Quill' } });
    await shop.context.store.write(({ records: rows }) =>
      rows.letter.update({
        where: { id },
        data: {
          state: 'failed',
          fault: 'there is no such mailbox',
          settledAt: '2026-06-12T10:00:00.000Z',
        },
      }),
    );
    await shop.post(`/v1/tops/${cars[1]?.topId}/visits`, {
      kind: 'lubrication',
      doneOn: '2026-06-12',
    });
    expect(await book('?heap=stuck')).toContain('there is no such mailbox');
    expect(await book('?heap=stuck')).not.toContain('Bram Oke');
    expect(await book('?heap=withdrawn')).toContain('was withdrawn before it left');
    expect(await book('?heap=withdrawn')).not.toContain('Ada Quill');
    expect(await book('?heap=sent')).toContain('There are none of these.');
    expect(await book('?heap=else')).toContain('Ada Quill');
  });

  it('keeps the whole history of one owner, reached from the owner', async () => {
    const owner = cars[0]?.ownerId ?? '';
    const { html } = await desk.open(`/owners/${owner}`);
    expect(html).toContain(`href="/letters?owner=${owner}"`);
    const words = await book(`?owner=${owner}`);
    expect(words).toContain('Letters to Ada Quill');
    expect(words).not.toContain('Bram Oke');
  });

  it('pages through many without losing or repeating one', async () => {
    const { id: _, ...letter } = await records().letter.findFirstOrThrow();
    const ids = Array.from({ length: 120 }, (_nothing, n) => `0000-${String(n).padStart(4, '0')}`);
    await shop.context.store.write(({ records: rows }) =>
      rows.letter.createMany({
        data: ids.map((id) => ({ ...letter, id, messageId: `<${id}@example.org>` })),
      }),
    );
    const seen: string[] = [];
    let at: string | undefined = '/letters?heap=waiting';
    while (at !== undefined && seen.length < 500) {
      const { html } = await desk.open(at);
      seen.push(...[...html.matchAll(/href="\/letters\/([\w-]+)"/g)].map(([, id]) => id ?? ''));
      at = /<a class="button" href="([^"]+)"/.exec(html)?.[1]?.replaceAll('&amp;', '&');
    }
    expect(seen).toHaveLength(await records().letter.count({ where: { state: 'planned' } }));
    expect(new Set(seen).size).toBe(seen.length);
  });

  describe('of another organisation', () => {
    it('is empty, and opens none of these letters', async () => {
      const other = await openDesk(shop, await shop.keyFor('Another Shop'));
      expect(wordsOf((await other.open('/letters')).html)).toContain('There are none of these.');
      const owner = cars[0]?.ownerId ?? '';
      expect(wordsOf((await other.open(`/letters?owner=${owner}`)).html)).not.toContain('Ada');
      const { id } = await records().letter.findFirstOrThrow();
      expect((await other.open(`/letters/${id}`)).status).toBe(404);
    });
  });
});
