import type { FastifyReply, FastifyRequest } from 'fastify';

/** Names the version that an answer shows. */
export function tag(reply: FastifyReply, record: { readonly version: number }): void {
  reply.header('etag', `"v${record.version}"`);
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
