import { Readable } from 'node:stream';
import * as fc from 'fast-check';
import { createTransport } from 'nodemailer';
import PostalMime from 'postal-mime';
import { describe, expect, test } from 'vitest';
import { bytesOf, endingWhen, streamOf } from '../../src/mail/message-bytes.ts';
import { toMailOptions } from '../../src/mail/outgoing.ts';
import type { OutgoingLetter } from '../../src/mail/outgoing.ts';
import { sampleLetter } from './sample-letter.ts';
import { runs } from '../setup/runs.ts';

/** A letter as nodemailer's own streams write it, and as we do from the same letter. */
async function bothWays(letter: OutgoingLetter): Promise<{ theirs: string; ours: string | null }> {
  let ours: Buffer | null = null;
  // Each of a message of its own: what one settles about the parts would be settled for the other.
  const mail = () => ({ ...toMailOptions(letter), baseBoundary: 'parts' });
  const transport = () => createTransport({ streamTransport: true, buffer: true });
  const { message } = await transport().sendMail(mail());
  const own = transport();
  own.use('stream', ({ message: tree }, done) => {
    ours = bytesOf(tree);
    done();
  });
  await own.sendMail(mail());
  const text = (bytes: unknown) => (Buffer.isBuffer(bytes) ? bytes.toString('latin1') : null);
  return { theirs: text(message) ?? '', ours: text(ours) };
}

const calendar = {
  filename: 'besuch.ics',
  method: 'PUBLISH',
  content: `BEGIN:VCALENDAR\r\nDESCRIPTION:${'Öl und Pinsel '.repeat(12)}\r\nEND:VCALENDAR\r\n`,
} as const;

test.each([
  ['two texts', sampleLetter()],
  ['plain ASCII', sampleLetter({ text: 'Oil it.\n', html: '<p>Oil it.</p>\n' })],
  ['texts without a last line break', sampleLetter({ text: 'Öl', html: '<p>Öl</p>' })],
  ['one text alone', sampleLetter({ html: '' })],
  ['a calendar object', sampleLetter({ calendar })],
  ['more control characters than letters', sampleLetter({ text: `ab${'\u0007'.repeat(9)}` })],
  ['one text under Greek words', sampleLetter({ html: '', subject: 'Η οροφή', text: 'Öl it.' })],
  ['dots and spaces at line ends', sampleLetter({ text: '.\r\n. \t\r\n..\nä ' })],
])('%s: byte for byte what nodemailer writes', async (_what, letter) => {
  const { theirs, ours } = await bothWays(letter);
  expect(ours).toBe(theirs);
  expect(theirs.length).toBeGreaterThan(500);
});

test('any letter: byte for byte what nodemailer writes, and its texts come back', async () => {
  const words = fc.string({
    unit: fc.constantFrom('a', 'ö', '漢', '=', '.', ' ', '\t', '\n', '😀', '\u0007'),
  });
  const long = fc.array(words, { maxLength: 40 }).map((parts) => parts.join(' '));
  await fc.assert(
    fc.asyncProperty(long, long, fc.boolean(), async (text, html, dated) => {
      const letter = sampleLetter({ text: `t${text}`, html: `h${html}` });
      const { theirs, ours } = await bothWays(dated ? { ...letter, calendar } : letter);
      expect(ours).toBe(theirs);
      const mail = await PostalMime.parse(Buffer.from(ours ?? '', 'latin1'));
      expect(mail.text?.trimEnd()).toBe(letter.text.trimEnd());
    }),
    { numRuns: runs(150) },
  );
});

test('a part that is no text in memory is left to nodemailer', async () => {
  let ours: Buffer | null = Buffer.from('not asked');
  const transport = createTransport({ streamTransport: true, buffer: true });
  transport.use('stream', (mail, done) => {
    ours = bytesOf(mail.message);
    done();
  });
  const attachments = [{ filename: 'a.bin', content: Buffer.from([1, 2, 3]) }];
  await transport.sendMail({ ...toMailOptions(sampleLetter()), attachments });
  expect(ours).toBeNull();
});

describe.each([
  ['of bytes', (mayEnd: () => Promise<void>) => streamOf(Buffer.from('letter'), mayEnd)],
  [
    'of a stream',
    (mayEnd: () => Promise<void>) => endingWhen(Readable.from(['let', 'ter']), mayEnd),
  ],
])('a stream %s', (_of, make) => {
  test('asks once before it ends, and not before it is read', async () => {
    const asked: string[] = [];
    let read = '';
    const stream = make(async () => void asked.push(read));
    await new Promise(setImmediate);
    expect(asked).toEqual([]);
    for await (const chunk of stream) read += String(chunk);
    expect(asked).toHaveLength(1);
    expect(read).toBe('letter');
  });

  test('breaks off where it may not end', async () => {
    const stream = make(() => Promise.reject(new Error('not now')));
    let ended = false;
    stream.on('end', () => (ended = true));
    await expect(stream.toArray()).rejects.toThrow('not now');
    expect(ended).toBe(false);
    expect(stream.destroyed).toBe(true);
  });
});
