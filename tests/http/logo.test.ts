import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import PostalMime from 'postal-mime';
import { createTransport } from 'nodemailer';
import { toMailOptions } from '../../src/mail/outgoing.ts';
import { outgoingOf } from '../../src/usecases/delivery/delivery-letter.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { wholeLetters } from '../setup/stored-letters.ts';

// The smallest PNG: one grey pixel (signature and chunks after ISO/IEC 15948).
const PIXEL =
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNoAAAAggCBd81ytgAAAABJRU5ErkJggg==';
const PICTURE = `data:image/png;base64,${PIXEL}`;

let shop: Workshop;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
});
afterEach(() => shop.close());

const set = (logo: unknown) =>
  shop.call('PATCH', '/v1/organisation', { logo }, { 'if-match': '*' });

describe('the picture of an organisation', () => {
  it('stands at the head of its letters and leaves as an inline part', async () => {
    expect((await set(PICTURE)).body.logo).toBe(PICTURE);
    await fitted(shop, { top: { fittedOn: '2025-06-12' } });
    await shop.post('/v1/round', { at: '2026-06-12T09:00:00Z' });
    const [letter] = await wholeLetters(shop.context.store.sql, `l."kind" = 'lubrication-due'`);
    if (letter === undefined) throw new Error('no letter was written');
    expect(letter.html).toContain(PICTURE);
    const outgoing = outgoingOf(
      letter,
      { organisationName: 'Elmyard Soft Tops', organisationEmail: null },
      { mailFrom: { name: 'Foldkeep', address: 'care@example.org' }, mailDomain: 'example.org' },
    );
    const transport = createTransport({ streamTransport: true, buffer: true });
    const { message } = await transport.sendMail(toMailOptions(outgoing));
    const mail = await PostalMime.parse(message as Buffer);
    expect(mail.html).not.toContain('data:image');
    const [picture] = mail.attachments;
    expect(picture).toMatchObject({ mimeType: 'image/png', disposition: 'inline', related: true });
    expect(mail.html).toContain(`src="cid:${picture?.contentId?.slice(1, -1)}"`);
    expect(Buffer.from(picture?.content as ArrayBuffer).toString('base64')).toBe(PIXEL);
  });

  it('shows in the preview of its letters, and goes when it is taken away', async () => {
    await set(PICTURE);
    const preview = () => shop.get('/v1/letters/preview?kind=care-note&language=en');
    const shown = await preview();
    expect(shown.status).toBe(200);
    expect(JSON.stringify(shown.body)).toContain(PIXEL);
    await set(null);
    expect(JSON.stringify((await preview()).body)).not.toContain(PIXEL);
  });

  it.each([
    ['an address to fetch', 'https://example.org/logo.png'],
    ['a drawing that may hold scripts', 'data:image/svg+xml;base64,PHN2Zy8+'],
    ['bytes that are no picture', `data:image/png;base64,${btoa('hello, I am not a PNG')}`],
    ['another kind than it says', `data:image/gif;base64,${PIXEL}`],
    ['quotes', `${PICTURE}" onerror="alert(1)`],
    ['too much', `data:image/png;base64,${PIXEL.slice(0, 40)}${'A'.repeat(14_000)}`],
  ])('is refused where it is %s', async (_, logo) => {
    const answer = await set(logo);
    expect(answer.status).toBe(400);
    expect(answer.body.errors).toMatchObject([{ pointer: '#/logo' }]);
    expect(answer.body.errors[0].detail).toContain('Give a PNG, JPEG or GIF');
  });
});
