import { Readable } from 'node:stream';
import { encode as encodeBase64, wrap as wrapBase64 } from 'nodemailer/lib/base64';
import type MimeNode from 'nodemailer/lib/mime-node';
import { encode as encodeQuoted, wrap as wrapQuoted } from 'nodemailer/lib/qp';

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
  if (encoding === 'quoted-printable') return wrapQuoted(encodeQuoted(content));
  return encoding === 'base64' ? wrapBase64(encodeBase64(content)) : content;
}

/** A stream of these bytes. Its `readableDidRead` tells whether anybody took the first of them. */
export function streamOf(bytes: Buffer): Readable {
  let left: Buffer | null = bytes;
  return new Readable({
    read() {
      this.push(left);
      left = null;
    },
  });
}
