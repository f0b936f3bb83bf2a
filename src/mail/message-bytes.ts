import { Readable } from 'node:stream';
import { encode as encodeBase64, wrap as wrapBase64 } from 'nodemailer/lib/base64';
import type MimeNode from 'nodemailer/lib/mime-node';
import { quotedPrintable } from './quoted-printable.ts';

/**
 * The message as nodemailer's own streams would write it, byte for byte, but at once: passing texts
 * that lie in memory through a dozen streams takes longer than all else about a letter. Null where
 * a part is no such text, so that nodemailer must read it itself.
 */
export function bytesOf(message: MimeNode): Buffer | null {
  const pieces: Pieces = [];
  if (!gather(message, pieces)) return null;
  const whole = Buffer.concat(
    pieces.map((one) => (typeof one === 'string' ? Buffer.from(one) : one)),
  );
  return whole.at(-1) === LF ? whole : Buffer.concat([whole, Buffer.from('\r\n')]);
}

const LF = 0x0a;

type Pieces = (string | Buffer)[];

/** Adds what a node comes to; false where a part of it is no text. */
function gather(node: MimeNode, pieces: Pieces): boolean {
  const { content } = node;
  // Where this is easy to tell, nodemailer need not count through the whole text to choose the same.
  if (typeof content === 'string' && isOfTextAlone(node) && isMostlyLatin(content)) {
    node.textEncoding = 'Q';
  }
  // Only once its headers are built does a node know its boundary and whether it has parts.
  pieces.push(`${node.buildHeaders()}\r\n\r\n`);
  const body = bodyOf(node);
  if (body === null) return false;
  pieces.push(body);
  if (!node.multipart) return true;
  for (const [n, child] of node.childNodes.entries()) {
    pieces.push(`${n === 0 ? '' : '\r\n'}--${node.boundary}\r\n`);
    if (!gather(child, pieces)) return false;
  }
  pieces.push(`\r\n--${node.boundary}--\r\n`);
  return true;
}

/** Whether how its text is encoded decides about nothing else: about no words of its headers. */
function isOfTextAlone(node: MimeNode): boolean {
  return node !== node.rootNode && node.textEncoding === '' && !node.filename;
}

/**
 * Whether a text certainly has more Latin letters than characters that have to be quoted, by which
 * nodemailer prefers quoted-printable to base64. False where that is not seen at its beginning.
 */
function isMostlyLatin(text: string): boolean {
  if (CONTROL.test(text)) return false;
  // Each character beyond ASCII takes at least one byte more than it has units.
  const mostQuoted = Buffer.byteLength(text) - text.length;
  let letters = 0;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i) | 0x20;
    if (code >= 0x61 && code <= 0x7a && ++letters > mostQuoted) return true;
  }
  return false;
}

// oxlint-disable-next-line no-control-regex -- control characters are exactly what is looked for
const CONTROL = /[\u0000-\u0008\u000b\u000c\u000e-\u001f]/;

function bodyOf(node: MimeNode): string | Buffer | null {
  const { content } = node;
  if (content === undefined || content === '') return '';
  if (typeof content !== 'string') return null;
  const encoding = node.getTransferEncoding();
  if (encoding === 'quoted-printable') return quotedPrintable(content);
  return encoding === 'base64' ? wrapBase64(encodeBase64(content)) : content;
}

/**
 * A stream of these bytes that ends when `mayEnd` has said so. What sends it writes the final dot when
 * it ends; a stream that is broken off instead breaks off the connection, and no server may take over
 * what had no dot (RFC 5321 section 4.1.1.4).
 */
export function streamOf(bytes: Buffer | Promise<Buffer>, mayEnd: () => Promise<void>): Readable {
  let left: typeof bytes | null = bytes;
  // Its fault reaches whoever reads; one that comes before that must not end the process.
  if (!Buffer.isBuffer(bytes)) bytes.catch(() => undefined);
  return new Readable({
    read() {
      const next = left;
      left = null;
      if (Buffer.isBuffer(next)) {
        this.push(next);
        return;
      }
      const coming = next ?? mayEnd().then(() => null);
      coming.then(
        (chunk) => this.push(chunk),
        (fault: unknown) => this.destroy(faultOf(fault)),
      );
    },
  });
}

/** The same for a stream that is there, of which nothing is read before its reader asks. */
export function endingWhen(stream: Readable, mayEnd: () => Promise<void>): Readable {
  // Its faults reach whoever reads it; one that comes before that must not end the process.
  stream.on('error', () => undefined);
  return Readable.from(thenAsk(stream, mayEnd), { objectMode: false });
}

async function* thenAsk(stream: Readable, mayEnd: () => Promise<void>): AsyncGenerator {
  yield* stream;
  await mayEnd();
}

function faultOf(fault: unknown): Error {
  return fault instanceof Error ? fault : new Error(String(fault));
}
