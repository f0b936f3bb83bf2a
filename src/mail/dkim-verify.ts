import { createHash, verify } from 'node:crypto';
import type { KeyObject } from 'node:crypto';

/** The outcome of checking one signature; `fields` are the lower-case header names it covers. */
export type DkimVerdict =
  | { readonly ok: true; readonly fields: readonly string[] }
  | { readonly ok: false; readonly why: string };

/**
 * Checks the first DKIM signature of a message against a public key (RFC 6376, RFC 8463),
 * independently of the signer: relaxed/relaxed with rsa-sha256 or ed25519-sha256, which is all
 * that this program sends. It asks no DNS. `message` has CRLF line ends.
 */
export function verifyDkim(message: Buffer, publicKey: KeyObject): DkimVerdict {
  const text = message.toString('latin1');
  const end = text.indexOf('\r\n\r\n');
  if (end < 0) return { ok: false, why: 'the message has no body' };
  const headers = text.slice(0, end).split(/\r\n(?![ \t])/);
  const signature = headers.find((line) => nameOf(line) === 'dkim-signature');
  if (signature === undefined) return { ok: false, why: 'there is no signature' };
  const tags = tagsOf(signature.slice(signature.indexOf(':') + 1));
  if (tags.get('c') !== 'relaxed/relaxed') return { ok: false, why: 'not relaxed/relaxed' };
  const bodyHash = createHash('sha256').update(relaxedBody(text.slice(end + 4)), 'latin1');
  if (bodyHash.digest('base64') !== bare(tags.get('bh'))) {
    return { ok: false, why: 'the body is not the one that was signed' };
  }
  const fields = (tags.get('h') ?? '').split(':').map((name) => name.trim().toLowerCase());
  const unsigned = signature.replace(/([;:\s]b=)[^;]*/, '$1');
  const signed = [...pick(headers, fields, signature), relaxedHeader(unsigned)].join('\r\n');
  return checked(tags, Buffer.from(signed, 'latin1'), publicKey)
    ? { ok: true, fields }
    : { ok: false, why: 'the signature does not fit the key' };
}

function checked(tags: ReadonlyMap<string, string>, signed: Buffer, key: KeyObject): boolean {
  const value = Buffer.from(bare(tags.get('b')), 'base64');
  if (tags.get('a') === 'rsa-sha256' && key.asymmetricKeyType === 'rsa') {
    return verify('sha256', signed, key, value);
  }
  if (tags.get('a') === 'ed25519-sha256' && key.asymmetricKeyType === 'ed25519') {
    // RFC 8463 section 3: the hash of the header is what Ed25519 signs.
    return verify(null, createHash('sha256').update(signed).digest(), key, value);
  }
  return false;
}

/**
 * The signed header lines in the order of `h=`. A name that stands there again takes the next line
 * further up; one that has no line left stands for nothing (RFC 6376 section 5.4.2).
 */
function pick(headers: readonly string[], fields: readonly string[], signature: string): string[] {
  const left = headers.filter((line) => line !== signature);
  const picked: string[] = [];
  for (const field of fields) {
    const index = left.findLastIndex((line) => nameOf(line) === field);
    if (index >= 0) picked.push(...left.splice(index, 1).map(relaxedHeader));
  }
  return picked;
}

function nameOf(line: string): string {
  return line
    .slice(0, Math.max(line.indexOf(':'), 0))
    .trim()
    .toLowerCase();
}

/** RFC 6376 section 3.4.2. */
function relaxedHeader(line: string): string {
  const value = line.slice(line.indexOf(':') + 1).replace(/\r\n/g, '');
  return `${nameOf(line)}:${value.replace(/[ \t]+/g, ' ').replace(/^ | $/g, '')}`;
}

/** RFC 6376 section 3.4.4. */
function relaxedBody(body: string): string {
  const lines = body.split('\r\n').map((line) => line.replace(/[ \t]+/g, ' ').replace(/ $/, ''));
  while (lines.at(-1) === '') lines.pop();
  return lines.length === 0 ? '' : `${lines.join('\r\n')}\r\n`;
}

function tagsOf(value: string): Map<string, string> {
  const tags = new Map<string, string>();
  for (const tag of value.split(';')) {
    const equals = tag.indexOf('=');
    if (equals > 0) tags.set(tag.slice(0, equals).trim(), tag.slice(equals + 1).trim());
  }
  return tags;
}

function bare(value: string | undefined): string {
  return (value ?? '').replace(/\s+/g, '');
}
