import { afterEach, beforeEach, expect, it } from 'vitest';
import type { LetterKind } from '../../src/domain/round/letter-kind.ts';
import { voiceFor } from '../../src/views/words/voice.ts';
import { LETTER_KINDS } from '../../src/domain/round/letter-kind.ts';
import { kindWords } from '../../src/http/pages/letters/letter-words.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { openDesk, wordsOf } from './desk.ts';

eachDatabase('the kinds of letters on pages', ({ open }) => {
  let shop: Workshop;
  let desk: Desk;
  let cars: CarAndTop[];
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    desk = await openDesk(shop);
    cars = [];
    for (const [name, registration] of [
      ['Ada Quill', 'KIND 1'],
      ['Bram Oke', 'KIND 2'],
    ] as const) {
      const email = `${registration.replace(' ', '')}@example.org`;
      const top = { fittedOn: '2025-10-10' };
      cars.push(await fitted(shop, { owner: { name, email }, car: { registration }, top }));
    }
  });
  afterEach(() => shop.close());

  const lettersStored = () => shop.context.store.records.letter.count();
  const path = '/letter-kinds/lubrication-due';

  it('each show a record of the shop’s own, and nothing is written or sent', async () => {
    const list = await desk.open('/letter-kinds');
    for (const kind of LETTER_KINDS) {
      expect(list.html).toContain(`/letter-kinds/${kind}"`);
      const { status, html } = await desk.open(`/letter-kinds/${kind}?car=${cars[1]?.carId}`);
      expect([kind, status]).toEqual([kind, 200]);
      expect(wordsOf(html)).toContain('With the record of KIND 2, Bram Oke.');
      expect(html).toContain('Hello Bram Oke');
    }
    const due = await desk.open(path);
    // Fitted on 10 October: twelve months later, as the record has it.
    expect(due.html).toContain('10 October 2026');
    expect(await lettersStored()).toBe(0);
    expect((await desk.open('/letter-kinds/no-such')).status).toBe(404);
  });

  it('show first how own words would look, and keep them only when told', async () => {
    const page = await desk.open(`${path}?in=en`);
    const tried = await desk.send(page, `${path}/try`, {
      subject: 'Time for oil, {{owner}}',
      deed: 'try',
    });
    expect(tried.status).toBe(200);
    expect(wordsOf(tried.html)).toContain('Time for oil, Ada Quill');
    expect(wordsOf(tried.html)).toContain('Nothing is kept yet');
    expect(await shop.context.store.records.wording.count()).toBe(0);
    const kept = await desk.send(tried, `${path}/try`, { deed: 'keep' });
    expect(kept.status).toBe(303);
    const after = await desk.open(String(kept.headers.location));
    expect(wordsOf(after.html)).toContain('Time for oil, Ada Quill');
    expect(await shop.context.store.records.wording.count()).toBe(1);
    const back = await desk.send(after, `${path}/try`, { subject: '', deed: 'keep' });
    expect(back.status).toBe(303);
    expect(await shop.context.store.records.wording.count()).toBe(0);
  });

  it('say what is wrong with own words beside the field', async () => {
    const page = await desk.open(path);
    const wrong = await desk.send(page, `${path}/try`, { lead: 'Dear {{nobody}}', deed: 'keep' });
    expect(wrong.status).toBe(400);
    expect(wordsOf(wrong.html)).toContain('{{nobody}} cannot stand here');
    expect(await shop.context.store.records.wording.count()).toBe(0);
  });

  it('of the coming months are told in words, as the forecast has them', async () => {
    const { html } = await desk.open('/coming-letters');
    const words = wordsOf(html);
    const to = '2026-11-30';
    const { items } = (await shop.get(`/v1/forecast?from=2026-06-12&to=${to}`)).body;
    expect(items.length).toBeGreaterThan(2);
    expect(words).toContain(`${items.length} letters, if nothing else happens`);
    for (const { kind } of items as { kind: LetterKind }[]) {
      expect(words).toContain(kindWords(voiceFor('en'), kind));
      expect(words).not.toContain(` ${kind} `);
    }
    expect(words).toContain('October 2026');
    expect(words).toContain('KIND 2, to Bram Oke');
  });
});
