import { Readable } from 'node:stream';
import { encode as encodeBase64, wrap as wrapBase64 } from 'nodemailer/lib/base64';
import type MimeNode from 'nodemailer/lib/mime-node';
import { wrap as wrapQuoted } from 'nodemailer/lib/qp';

/**
 * The message as nodemailer's own streams would write it, byte for byte, but at once: passing texts
 * that lie in memory through a dozen streams takes longer than all else about a letter. Null where
 * a part is no such text, so that nodemailer must read it itself.
 */
export function bytesOf(message: MimeNode): Buffer | null {
  const text = textOf(message);
  if (text === null) return null;
  return Buffer.from(text.endsWith('\n') ? text : `${text}\r\n`);
}

function textOf(node: MimeNode): string | null {
  // Only once its headers are built does a node know its boundary and whether it has parts.
  const head = `${node.buildHeaders()}\r\n\r\n`;
  const body = bodyOf(node);
  if (body === null || !node.multipart) return body === null ? null : head + body;
  let parts = '';
  for (const [n, child] of node.childNodes.entries()) {
    const part = textOf(child);
    if (part === null) return null;
    parts += `${n === 0 ? '' : '\r\n'}--${node.boundary}\r\n${part}`;
  }
  return `${head}${body}${parts}\r\n--${node.boundary}--\r\n`;
}

function bodyOf(node: MimeNode): string | null {
  const { content } = node;
  if (content === undefined || content === '') return '';
  if (typeof content !== 'string') return null;
  const encoding = node.getTransferEncoding();
  if (encoding === 'quoted-printable') return wrapQuoted(quoted(content));
  return encoding === 'base64' ? wrapBase64(encodeBase64(content)) : content;
}

// RFC 2045 section 6.7: all but printable ASCII, and white space that ends a line.
const TO_QUOTE = /[^\t\n\r -<>-~]+|[\t ](?=[\r\n]|$)/g;

/** A text as nodemailer quotes it, without a look at each byte: of a letter few need quoting. */
function quoted(text: string): string {
  return text.replace(TO_QUOTE, (found) => {
    if (found === '=') return '=3D';
    return Buffer.from(found).toString('hex').toUpperCase().replace(/../g, '=$&');
  });
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
