import * as fc from 'fast-check';
import { createTransport } from 'nodemailer';
import PostalMime from 'postal-mime';
import { describe, expect, test } from 'vitest';
import { LetterFault, toMailOptions } from '../../src/mail/outgoing.ts';
import type { OutgoingLetter } from '../../src/mail/outgoing.ts';
import { sampleLetter } from './sample-letter.ts';
import { runs } from '../setup/runs.ts';

async function built(letter: OutgoingLetter): Promise<string> {
  const transport = createTransport({ streamTransport: true, buffer: true, newline: 'windows' });
  const { message } = await transport.sendMail(toMailOptions(letter));
  return Buffer.isBuffer(message) ? message.toString() : '';
}

/** Header lines of a message by lower-case name, unfolded. */
function headersOf(message: string): Map<string, string[]> {
  const lines = message.slice(0, message.indexOf('\r\n\r\n')).split(/\r\n(?![ \t])/);
  const headers = new Map<string, string[]>();
  for (const line of lines) {
    const name = line.slice(0, line.indexOf(':')).toLowerCase();
    const value = line
      .slice(line.indexOf(':') + 1)
      .replace(/\r\n/g, '')
      .trim();
    headers.set(name, [...(headers.get(name) ?? []), value]);
  }
  return headers;
}

describe('the message as built', () => {
  test('Message-ID and Date are kept, with or without angle brackets', async () => {
    for (const messageId of ['<letter-42.1@example.org>', 'letter-42.1@example.org']) {
      const headers = headersOf(await built(sampleLetter({ messageId })));
      expect(headers.get('message-id')).toEqual(['<letter-42.1@example.org>']);
      expect(headers.get('date')).toEqual(['Mon, 02 Mar 2026 09:30:00 +0000']);
    }
  });

  // RFC 8058 sections 3.1 and 8.2: one header with exactly one HTTPS link, the fixed value beside.
  test('the list headers of one-click refusal', async () => {
    const headers = headersOf(await built(sampleLetter()));
    expect(headers.get('list-unsubscribe')).toEqual([
      '<https://example.org/u/opaque-part-that-nobody-can-guess>, ' +
        '<mailto:stop+opaque@example.org?subject=unsubscribe>',
    ]);
    expect(headers.get('list-unsubscribe-post')).toEqual(['List-Unsubscribe=One-Click']);
    expect(headers.get('list-id')).toEqual(['"Care reminders" <reminders.example.org>']);
  });

  // RFC 3834 section 5: at most one field, auto-generated for what a clock sets off.
  test('says that a machine wrote it, once, and claims no precedence', async () => {
    const headers = headersOf(
      await built(sampleLetter({ headers: { 'auto-submitted': 'auto-generated' } })),
    );
    expect(headers.get('auto-submitted')).toEqual(['auto-generated']);
    expect(headers.has('x-auto-response-suppress')).toBe(true);
    expect(headers.has('precedence')).toBe(false);
  });

  test('without a way to refuse there is no promise of one', async () => {
    const { listUnsubscribe: _none, ...work } = sampleLetter();
    const headers = headersOf(await built(work));
    expect(headers.has('list-unsubscribe')).toBe(false);
    expect(headers.has('list-unsubscribe-post')).toBe(false);
  });

  // RFC 5322 appendix A.2: the reply to the reply names both before it.
  test('a later letter on the same matter is threaded', async () => {
    const headers = headersOf(
      await built(
        sampleLetter({
          references: '<1234@local.machine.example> <3456@example.net>',
        }),
      ),
    );
    expect(headers.get('references')).toEqual(['<1234@local.machine.example> <3456@example.net>']);
    expect(headers.get('in-reply-to')).toEqual(['<3456@example.net>']);
  });

  test('a dated visit is one attachment that says method=PUBLISH', async () => {
    const content = 'BEGIN:VCALENDAR\r\nSUMMARY:Öl\r\nEND:VCALENDAR\r\n';
    const message = await built(
      sampleLetter({ calendar: { filename: 'visit.ics', method: 'PUBLISH', content } }),
    );
    expect(message.match(/text\/calendar/g)).toHaveLength(1);
    expect(message).toMatch(/Content-Type: text\/calendar; charset=utf-8; method=PUBLISH/);
    const mail = await PostalMime.parse(message);
    expect(mail.attachments).toHaveLength(1);
    const [part] = mail.attachments;
    expect(part?.disposition).toBe('attachment');
    expect(part?.filename).toBe('visit.ics');
    expect(part?.method).toBe('PUBLISH');
    // The parser unifies the line ends of calendars, so the bytes are read from the message itself.
    const encoded = /method=PUBLISH[^]*?\r\n\r\n([A-Za-z0-9+/=\r\n]+)\r\n--/.exec(message)?.[1];
    expect(Buffer.from(encoded ?? '', 'base64').toString()).toBe(content);
  });

  test('names and subjects beyond ASCII come back whole', async () => {
    const mail = await PostalMime.parse(await built(sampleLetter()));
    expect(mail.from?.name).toBe('Dachwerkstatt Süd');
    expect(mail.to?.[0]).toEqual({ name: 'Ida Ölmann', address: 'ida@example.net' });
    expect(mail.subject).toBe('Bitte ölen: die Gelenke sind fällig');
    expect(mail.text?.trim()).toBe('Die Gelenke warten auf Öl.');
    expect(mail.html?.trim()).toBe('<p>Die Gelenke warten auf Öl.</p>');
  });
});

describe('what is refused', () => {
  const EVIL = 'x\r\nBcc: y@example.net';
  const party = { name: 'A', address: 'a@example.net' };
  test.each<[string, Partial<OutgoingLetter>]>([
    ['subject', { subject: EVIL }],
    ['subject', { subject: 'bare\nline feed' }],
    ['subject', { subject: 'bare\rreturn' }],
    ['messageId', { messageId: '<a@b>\r\nX: y' }],
    ['messageId', { messageId: 'no-at-sign' }],
    ['from.name', { from: { ...party, name: EVIL } }],
    ['from.address', { from: { ...party, address: 'a@example.net\nX: y' } }],
    ['to.name', { to: { ...party, name: EVIL } }],
    ['to.address', { to: { ...party, address: 'a@example.net, b@example.net' } }],
    ['to.address', { to: { ...party, address: 'nobody' } }],
    ['headers.X-Ref', { headers: { 'X-Ref': EVIL } }],
    ['headers', { headers: { 'X Ref': 'y' } }],
    ['headers', { headers: { 'X-Ref\r\nBcc': 'y' } }],
    ['headers.Bcc', { headers: { Bcc: 'y@example.net' } }],
    ['headers.dkim-signature', { headers: { 'dkim-signature': 'v=1' } }],
    ['envelopeFrom', { envelopeFrom: 'b@example.org> SIZE=1' }],
    ['listUnsubscribe.url', { listUnsubscribe: { url: 'javascript:alert(1)' } }],
    ['listUnsubscribe.url', { listUnsubscribe: { url: 'https://h/>, <https://x/' } }],
    ['listUnsubscribe.mailto', { listUnsubscribe: { url: 'https://h/', mailto: 'a@b\r\nX: y' } }],
    ['listId.id', { listId: { name: 'a', id: 'a b' } }],
    ['listId.name', { listId: { name: EVIL, id: 'a' } }],
    ['references', { references: '<a@b> c' }],
    ['calendar.filename', { calendar: { filename: EVIL, method: 'PUBLISH', content: '' } }],
    ['date', { date: 'yesterday' }],
  ])('%s in %j', (field, change) => {
    let fault: unknown;
    try {
      toMailOptions(sampleLetter(change));
    } catch (thrown) {
      fault = thrown;
    }
    expect(fault).toBeInstanceOf(LetterFault);
    expect(fault).toHaveProperty('field', field);
  });

  test('no text whatever adds a header', async () => {
    const usual = [...headersOf(await built(sampleLetter({ subject: 'x' }))).keys()].toSorted();
    await fc.assert(
      fc.asyncProperty(fc.string({ unit: 'binary' }), fc.string(), async (subject, name) => {
        const change = { subject: `x${subject}`, to: { name, address: 'a@example.net' } };
        const message = await built(sampleLetter(change)).catch((fault: unknown) => {
          if (fault instanceof LetterFault) return null;
          throw fault;
        });
        fc.pre(message !== null);
        expect([...headersOf(message ?? '').keys()].toSorted()).toEqual(usual);
      }),
      { numRuns: runs(150) },
    );
  });
});
