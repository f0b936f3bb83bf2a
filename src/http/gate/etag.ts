import type { FastifyReply, FastifyRequest } from 'fastify';
import { invalid } from '../../domain/refusal.ts';

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

// Entity tags and commas; what stands between two of these may be nothing (RFC 9110, 8.8.3 and 5.6.1.2).
const TAG = String.raw`(?:W/)?"[!#-~\x80-\xff]*"`;
const MAYBE = String.raw`(?:${TAG}[ \t]*)?`;
const TAGS = new RegExp(String.raw`^${MAYBE}(?:,[ \t]*${MAYBE})*$`);

/**
 * The version that If-Match asks for: a number, `*` for any, null where the header is missing. Weak
 * tags never match (RFC 9110, 13.1.1), and neither does a tag that this server did not give out. What
 * is no tag at all is refused: whoever left out the quotes would look in vain for who was quicker.
 */
export function versionAsked(request: FastifyRequest): number | '*' | null {
  const header = request.headers['if-match'];
  const asked = header?.trim() ?? '';
  if (asked === '') return null;
  if (asked === '*') return '*';
  if (!TAGS.test(asked)) {
    throw invalid('If-Match', 'Send the ETag as you read it, with its quotes: "v3". Or * for any.');
  }
  const versions = asked
    .split(',')
    .map((part) => /^"v(\d{1,9})"$/.exec(part.trim())?.[1])
    .filter((found) => found !== undefined);
  return versions.length === 1 ? Number(versions[0]) : -1;
}
