import type { FastifyReply, FastifyRequest } from 'fastify';

interface Versioned {
  readonly version: number;
}

/** The record as it is answered, its version named in the ETag. */
export async function tagged<R extends Versioned>(
  reply: FastifyReply,
  record: R | Promise<R>,
): Promise<R> {
  const shown = await record;
  reply.header('etag', `"v${shown.version}"`);
  return shown;
}

/** As `tagged`, for a record that is new: 201, and where it can be read under `path`. */
export async function created<R extends Versioned & { readonly id: string }>(
  reply: FastifyReply,
  path: string,
  record: Promise<R>,
): Promise<R> {
  const made = await tagged(reply, record);
  reply.code(201).header('location', `${path}/${made.id}`);
  return made;
}

/**
 * The version that If-Match asks for: a number, `*` for any, null where the header is missing. Weak
 * tags never match (RFC 9110, 13.1.1), and neither does a tag that this server did not give out.
 */
export function versionAsked(request: FastifyRequest): number | '*' | null {
  const header = request.headers['if-match'];
  if (header === undefined || header.trim() === '') return null;
  if (header.trim() === '*') return '*';
  const versions = header
    .split(',')
    .map((part) => /^"v(\d{1,9})"$/.exec(part.trim())?.[1])
    .filter((found) => found !== undefined);
  return versions.length === 1 ? Number(versions[0]) : -1;
}
