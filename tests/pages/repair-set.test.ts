import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { openDesk, wordsOf } from './desk.ts';

describe('what a repair takes', () => {
  let shop: Workshop;
  let desk: Desk;
  let path: string;
  const open = async (query: string) => {
    const { status, html } = await desk.open(`${path}${query}`);
    return { status, html, text: wordsOf(html) };
  };

  beforeAll(async () => {
    shop = await openWorkshop('2026-06-12T09:00:00.000Z');
    const { topId } = await fitted(shop);
    path = `/tops/${topId}/repair-set`;
    desk = await openDesk(shop);
  });
  afterAll(() => shop.close());

  it('is for the whole frame what is kept in stock', async () => {
    const { status, html, text } = await open('');
    expect(status).toBe(200);
    expect(text).toContain('16 × spacer washers');
    expect(html).toContain('href="/stock/washer-pair"');
    expect(text).toContain('The handbook of your car and local rules come first.');
  });

  it('is sized from the hole that was found, with its repair first told, then laid out', async () => {
    const { html, text } = await open('?pivot=L-MAIN&thread=M8&across=9.6&square=8.2&leaf=24');
    // 9.6 on 8 mm is 1.6 of play and 1.4 out of round: past both steps of "act".
    expect(text).toContain('9.6 mm at its widest, 1.6 mm of play on M8 (act)');
    expect(text).toContain('(act): do not use it: ream it to 10 mm for a bush.');
    // Worn to one side: on the old middle its far edge wants 9.6 + 1.4 + 0.1.
    expect(text).toContain('to ream on the old middle takes 11.1 mm');
    expect(text).toContain('ream to 10 mm, which cuts all round, for a bush 10 × 8 mm');
    // ISO 286-2: 10 s6 is +23 to +32 µm.
    expect(text).toContain('10 s6 (+0.023 … +0.032)');
    expect(text).toContain('M8, 13 mm across flats');
    expect(html).toMatch(/<svg class="hole"[^>]*aria-label="[^"]*9\.6 by 8\.2 mm/);
  });

  it('says that no bush fits where the leaf is too narrow for one', async () => {
    const { text } = await open('?pivot=L-MAIN&thread=M8&across=10.8&square=10.2&leaf=20');
    expect(text).toContain('do not use it: no bush fits: weld and drill anew, or renew the leaf.');
  });

  it('takes a comma for a point, as a fitter in Germany types it', async () => {
    const { text } = await open('?pivot=L-MAIN&thread=M8&across=8,4&square=8,3');
    expect(text).toContain('8.4 mm at its widest');
  });

  it('draws the hole to scale beside pin and leaf', async () => {
    const { html } = await open('?pivot=L-MAIN&thread=M8&across=9.6&square=8.2&leaf=24');
    const [, drawing = ''] = /<svg class="hole"(.*?)<\/svg>/s.exec(html) ?? [];
    const of = (shape: string) =>
      Number(new RegExp(`class="${shape}"[^>]* (?:r|rx)="([\\d.]+)"`).exec(drawing)?.[1]);
    expect(of('found') / of('pin')).toBeCloseTo(9.6 / 8, 1);
    expect(of('bush') / of('pin')).toBeCloseTo(10 / 8, 1);
    const [up, down] = [.../H220M0 ([\d.]+)|M0 ([\d.]+)H/g[Symbol.matchAll](drawing)].map((m) =>
      Number(m[1] ?? m[2]),
    );
    expect(((down ?? 0) - (up ?? 0)) / 2 / of('pin')).toBeCloseTo(24 / 8, 1);
  });

  it.each([
    ['one diameter', '?pivot=L-MAIN&thread=M8&across=9', 'at right angles: an oval one'],
    ['a hole of no joint', '?across=9&square=9', 'Say at which joint this was measured.'],
    ['a hole smaller than its pin', '?pivot=L-MAIN&thread=M8&across=7&square=7', '8 mm, to 16 mm'],
    ['a word', '?pivot=L-MAIN&thread=M8&across=wide&square=8', 'Give a number'],
    ['a joint that is not there', '?pivot=L-WING', 'This top has no pivot L-WING.'],
  ])('says at its field what to do about %s, and keeps what was typed', async (_, query, words) => {
    const { status, html, text } = await open(query);
    expect(status).toBe(200);
    expect(text).toContain(words);
    expect(html).toContain('role="alert"');
    expect(html).not.toContain('id="set"');
  });

  it('never asks to raise a top, nor to fold it', async () => {
    for (const pivot of ['L-MAIN', 'L-LINK1', 'L-LATCH']) {
      const { text } = await open(`?pivot=${pivot}&thread=M8`);
      expect(text).not.toMatch(/raise the top|fold the top/i);
    }
  });

  it('is found from the top, and from a joint that wants work', async () => {
    const topId = path.split('/')[2] ?? '';
    const visit = {
      kind: 'look',
      doneOn: '2026-06-01',
      readings: [{ pivot: 'L-MAIN', state: 'oval', oiled: false }],
    };
    expect((await shop.post(`/v1/tops/${topId}/visits`, visit)).status).toBe(201);
    const { html } = await desk.open(`/tops/${topId}`);
    expect(html).toContain(`href="${path}"`);
    expect(html).toContain(`href="${path}?pivot=L-MAIN"`);
    const { text } = await open('?pivot=L-MAIN&thread=M8');
    expect(text).toContain('Do not move the top of FK 1');
    expect(text).toContain('Measure the hole across two directions with the pin out');
  });
});
