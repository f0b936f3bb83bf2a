import { createHash, createPrivateKey, sign } from 'node:crypto';
import type { KeyObject } from 'node:crypto';
import { Readable } from 'node:stream';
import { promisify } from 'node:util';

// With a callback the signature is made beside the thread that sends.
const signBeside = promisify(sign);

/** A DKIM key as the signer takes it. RSA only; see `dkim.ts` for the probe. */
export interface DkimSigner {
  readonly domain: string;
  readonly selector: string;
  /** PEM. */
  readonly privateKey: string;
}

/**
 * Fields named once more than they occur (RFC 6376 section 8.15), absent ones too: whoever adds a second
 * one breaks the signature, so that no reader can be shown another sender, subject or text.
 */
const OVERSIGNED = [
  'from',
  'to',
  'cc',
  'subject',
  'date',
  'reply-to',
  'message-id',
  'mime-version',
  'content-type',
  'content-transfer-encoding',
  'list-unsubscribe',
  'list-unsubscribe-post',
];
/** Signed where they occur (RFC 6376 section 5.4.1). */
const SIGNED = ['in-reply-to', 'references', 'list-id', 'auto-submitted'];

/**
 * The message with a DKIM signature before it: rsa-sha256, relaxed and relaxed (RFC 6376). nodemailer
 * and mailauth sign too, but neither names a field more often than it occurs. Line ends
 * become CRLF, as they would on the line.
 */
export async function signedWith(signer: DkimSigner, message: Buffer): Promise<Buffer> {
  const { domain, selector } = signer;
  const text = message.toString('latin1').replace(/\r(?!\n)|(?<!\r)\n/g, '\r\n');
  const end = text.indexOf('\r\n\r\n');
  const fields = text.slice(0, end).split(/\r\n(?![ \t])/);
  const body = createHash('sha256').update(relaxedBody(text.slice(end + 4)), 'latin1');
  const { names, lines } = chosen(fields);
  const tags = [
    'v=1',
    'a=rsa-sha256',
    'c=relaxed/relaxed',
    `d=${domain}`,
    `s=${selector}`,
    `bh=${body.digest('base64')}`,
    `h=${names.join(':\r\n\t')}`,
    'b=',
  ];
  const head = `DKIM-Signature: ${tags.join(';\r\n\t')}`;
  const toSign = `${lines.map((line) => `${line}\r\n`).join('')}${relaxedField(head)}`;
  const signed = await signBeside('RSA-SHA256', Buffer.from(toSign, 'latin1'), keyOf(signer));
  const signature = signed.toString('base64').replace(/.{72}(?=.)/g, '$&\r\n\t');
  return Buffer.from(`${head}${signature}\r\n${text}`, 'latin1');
}

const keys = new WeakMap<DkimSigner, KeyObject>();

/** Read once: that takes long beside the rest of a signature. */
function keyOf(signer: DkimSigner): KeyObject {
  const key = keys.get(signer) ?? createPrivateKey(signer.privateKey);
  keys.set(signer, key);
  return key;
}

/** The same for a message that comes as a stream. */
export function signedStream(signer: DkimSigner, message: Readable): Readable {
  return Readable.from(gathered(signer, message), { objectMode: false });
}

async function* gathered(signer: DkimSigner, message: Readable): AsyncGenerator<Buffer> {
  const chunks: Buffer[] = [];
  for await (const chunk of message) chunks.push(Buffer.from(chunk as Uint8Array));
  yield await signedWith(signer, Buffer.concat(chunks));
}

/** The names for `h=`, and the fields they stand for, each from the last one upwards. */
function chosen(fields: readonly string[]): { names: string[]; lines: string[] } {
  const names: string[] = [];
  const lines: string[] = [];
  for (const name of [...OVERSIGNED, ...SIGNED]) {
    for (const field of fields.toReversed()) {
      if (field.slice(0, field.indexOf(':')).trim().toLowerCase() !== name) continue;
      names.push(name);
      lines.push(relaxedField(field));
    }
    if (OVERSIGNED.includes(name)) names.push(name);
  }
  return { names, lines };
}

/** RFC 6376 section 3.4.2. */
function relaxedField(field: string): string {
  const colon = field.indexOf(':');
  const value = field
    .slice(colon + 1)
    .replaceAll('\r\n', '')
    .replace(/[ \t]+/g, ' ');
  return `${field.slice(0, colon).trim().toLowerCase()}:${value.replace(/^ | $/g, '')}`;
}

/** RFC 6376 section 3.4.4. */
function relaxedBody(body: string): string {
  const text = body
    .replace(/[ \t]+/g, ' ')
    .replaceAll(' \r\n', '\r\n')
    .replace(/ $/, '')
    .replace(/(?:\r\n)+$/, '');
  return text === '' ? '' : `${text}\r\n`;
}
