import type { FastifyInstance } from 'fastify';

/** A form with a few short fields, as a browser or a mail program sends it. */
export type SmallForm = Readonly<Record<string, string>>;

/** Bytes that a form on these pages may have. */
export const LARGEST_FORM = 1024;

/**
 * Reads multipart/form-data in this scope, besides the url-encoded forms read everywhere: a mail
 * program may send its one-click request in either (RFC 8058, section 3.2).
 */
export function readSmallForms(app: FastifyInstance): void {
  app.addContentTypeParser(
    'multipart/form-data',
    { parseAs: 'string', bodyLimit: LARGEST_FORM },
    (request, body, done) => {
      done(null, multipartFields(request.headers['content-type'] ?? '', String(body)));
    },
  );
}

/** The fields of a body, the last of a name; anything else than text fields is left out. */
export function fieldsOf(body: unknown): SmallForm {
  if (typeof body !== 'object' || body === null) return {};
  const fields: Record<string, string> = {};
  for (const [name, value] of Object.entries(body)) {
    const last: unknown = Array.isArray(value) ? value.at(-1) : value;
    if (typeof last === 'string') fields[name] = last;
  }
  return fields;
}

/** The text fields of a multipart body (RFC 7578); a body that is none has no fields. */
export function multipartFields(contentType: string, body: string): SmallForm {
  const found = /;\s*boundary=(?:"([^"]{1,70})"|([^\s;"]{1,70}))/i.exec(contentType);
  const boundary = found?.[1] ?? found?.[2];
  if (boundary === undefined) return {};
  const fields: Record<string, string> = {};
  for (const part of `\r\n${body}`.split(`\r\n--${boundary}`).slice(1)) {
    if (part.startsWith('--')) break;
    const end = part.indexOf('\r\n\r\n');
    if (end < 0) continue;
    const name = /^content-disposition:\s*form-data\b[^\r\n]*?;\s*name="([^"\r\n]+)"/im.exec(
      part.slice(0, end),
    )?.[1];
    if (name !== undefined) fields[name] = part.slice(end + 4);
  }
  return fields;
}
