import multipart from '@fastify/multipart';
import type { FastifyInstance, FastifyRequest } from 'fastify';

/** A form with a few short fields, as a browser or a mail program sends it. */
export type SmallForm = Readonly<Record<string, string>>;

/** Bytes that a form on these pages may have. */
export const LARGEST_FORM = 1024;

/**
 * Reads multipart/form-data in this scope, besides the url-encoded forms read everywhere: a mail
 * program may send its one-click request in either (RFC 8058, section 3.2).
 */
export async function readSmallForms(app: FastifyInstance): Promise<void> {
  await app.register(multipart, {
    limits: { fieldSize: LARGEST_FORM, fieldNameSize: 100, fields: 10, files: 0, parts: 10 },
  });
  app.addHook('preValidation', async (request) => {
    if (request.isMultipart()) request.body = await fieldsOfParts(request);
  });
}

async function fieldsOfParts(request: FastifyRequest): Promise<Record<string, unknown>> {
  const fields: Record<string, unknown> = {};
  try {
    for await (const part of request.parts()) {
      if (part.type === 'field') fields[part.fieldname] = part.value;
    }
  } catch (fault) {
    // What is no multipart body is a fault of the request; the parser does not say so.
    throw Object.assign(new Error('This form cannot be read.'), { statusCode: 400 }, fault);
  }
  return fields;
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
