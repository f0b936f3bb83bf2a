import { createPrivateKey, createPublicKey } from 'node:crypto';
import type { KeyObject } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { createTransport } from 'nodemailer';
import { toMailOptions } from './outgoing.ts';
import { signedWith } from './dkim-sign.ts';
import type { DkimSigner } from './dkim-sign.ts';

/** Where the key is and which DNS name it answers to. */
export interface DkimSettings {
  readonly domain: string;
  readonly selector: string;
  readonly keyFile: string;
}

/** A key that is fit to sign, with its public half (SPKI, base64) for the DNS. */
export interface DkimKey extends DkimSigner {
  readonly publicKey: string;
  readonly bits: number;
}

/** RFC 8301 section 3.2: verifiers must not accept less, signers should use at least 2048. */
const LEAST_BITS = 1024;

const MAKE_ONE = 'make one with: openssl genpkey -algorithm RSA -pkeyopt rsa_keygen_bits:2048';

/**
 * Loads the signing key and proves it: the file is read, the key's kind and size are checked, and
 * a probe is signed as letters are and verified independently of that. Faults are in plain words.
 */
export async function loadDkimKey(
  settings: DkimSettings,
): Promise<{ key: DkimKey } | { fault: string }> {
  let pem: string;
  try {
    pem = await readFile(settings.keyFile, 'utf8');
  } catch (fault) {
    const code = fault instanceof Error && 'code' in fault ? String(fault.code) : 'unknown fault';
    return { fault: `the DKIM key file cannot be read (${code})` };
  }
  const read = readDkimKey(settings, pem);
  if ('fault' in read) return read;
  const fault = await probeDkim(read.key);
  return fault === null ? read : { fault };
}

/** Reads a private key in PEM and checks that the mailer can sign with it. */
export function readDkimKey(
  name: { readonly domain: string; readonly selector: string },
  pem: string,
): { key: DkimKey } | { fault: string } {
  if (!isDomain(name.domain)) return { fault: 'the DKIM domain is not a domain name' };
  if (!isDomain(`${name.selector}.x`)) return { fault: 'the DKIM selector is not a DNS label' };
  if (/-----BEGIN [A-Z ]*PUBLIC KEY-----/.test(pem)) {
    return { fault: 'the DKIM key file holds a public key; the private one is needed' };
  }
  if (/ENCRYPTED/.test(pem)) {
    return { fault: 'the DKIM key is locked with a passphrase; store it without one' };
  }
  let key: KeyObject;
  try {
    key = createPrivateKey(pem);
  } catch {
    return { fault: `the DKIM key file holds no private key in PEM form; ${MAKE_ONE}` };
  }
  if (key.asymmetricKeyType !== 'rsa') {
    const kind = key.asymmetricKeyType ?? 'unknown';
    return { fault: `the DKIM key is ${kind}; the mailer signs with RSA only; ${MAKE_ONE}` };
  }
  const bits = key.asymmetricKeyDetails?.modulusLength ?? 0;
  if (bits < LEAST_BITS) {
    return { fault: `the DKIM key has ${bits} bits, which no receiver accepts; ${MAKE_ONE}` };
  }
  const publicKey = publicHalf(createPublicKey(key));
  const { domain, selector } = name;
  return { key: { domain, selector, privateKey: pem, publicKey, bits } };
}

function isDomain(text: string): boolean {
  const label = /^[a-z0-9_]([a-z0-9_-]{0,61}[a-z0-9_])?$/i;
  return text.includes('.') && text.length <= 253 && text.split('.').every((l) => label.test(l));
}

/** RFC 8058 section 4: both stand inside the signature, or one-click does not count. */
const MUST_BE_SIGNED = [
  'from',
  'to',
  'subject',
  'date',
  'message-id',
  'list-unsubscribe',
  'list-unsubscribe-post',
];

/** Signs a probe as a letter would be signed and verifies it. Null when all is well. */
export async function probeDkim(key: DkimSigner): Promise<string | null> {
  const transport = createTransport({
    streamTransport: true,
    buffer: true,
    newline: 'windows',
  });
  const party = { name: 'Prüfung', address: `probe@${key.domain}` };
  const { message } = await transport.sendMail(
    toMailOptions({
      messageId: `<probe@${key.domain}>`,
      date: '2000-01-01T00:00:00Z',
      from: party,
      to: party,
      subject: 'Probe',
      text: 'Probe\n',
      html: '<p>Probe</p>\n',
      headers: {},
      listUnsubscribe: { url: `https://${key.domain}/probe` },
    }),
  );
  if (!Buffer.isBuffer(message)) return 'the mailer built no probe message';
  let signed: Buffer;
  try {
    signed = await signedWith(key, message);
  } catch {
    return 'the mailer cannot sign with this DKIM key';
  }
  const { result, why, fields } = await verdictOn(
    signed,
    publicHalf(createPublicKey(key.privateKey)),
  );
  if (result !== 'pass') return `a probe signed with the DKIM key does not verify: ${why}`;
  const missing = MUST_BE_SIGNED.filter((name) => !fields.includes(name));
  return missing.length === 0 ? null : `the signature leaves out ${missing.join(', ')}`;
}

interface Signed {
  readonly signingHeaders?: { readonly keys: string };
}

/** What a receiver would say to the signature, if the DNS held this public key. */
async function verdictOn(message: Buffer, publicKey: string) {
  // Loaded where it is needed: it would take a third of a second of every start.
  const { dkimVerify } = await import('mailauth/lib/dkim/verify.js');
  const record = `v=DKIM1; k=rsa; p=${publicKey}`;
  const { results } = await dkimVerify(message, { resolver: () => Promise.resolve([[record]]) });
  // Its types leave out which headers were signed.
  const [first] = results as readonly ((typeof results)[number] & Signed)[];
  return {
    result: first?.status.result ?? 'none',
    why: first?.status.comment ?? first?.status.result ?? 'there is no signature',
    fields: (first?.signingHeaders?.keys ?? '').split(':').map((name) => name.trim().toLowerCase()),
  };
}

function publicHalf(key: KeyObject): string {
  return key.export({ type: 'spki', format: 'der' }).toString('base64');
}
