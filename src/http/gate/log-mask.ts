import type { FastifyRequest } from 'fastify';

const UUID = /^[\da-f]{8}(?:-[\da-f]{4}){3}-[\da-f]{12}$/i;
// Tokens have 43 signs; what was cut off or added to on the way is still none of the log's business.
const LONG_RUN = /[\w-]{16,}/g;
const BEHIND_A_LINK = /(\/(?:u|o|b|join|calendar)\/)[^/?#]+/gi;

/**
 * An address as the log may have it. A link's token opens a page, so whatever could be one is left
 * out, wherever it stands and whether any route has such an address or not; ids of records stay.
 */
export function maskedUrl(url: string): string {
  const [path = '', ...query] = decoded(url).split('?');
  const shown = [path.replace(BEHIND_A_LINK, '$1-'), ...query].join('?');
  return shown.replace(LONG_RUN, (run) => (UUID.test(run) ? run : '-'));
}

/** A percent sign may hide any part of a token; an address that cannot be read is not shown. */
function decoded(url: string): string {
  if (!url.includes('%')) return url;
  try {
    return decodeURIComponent(url);
  } catch {
    return '(unreadable)';
  }
}

/** A request as the log may have it. */
export function loggedRequest({ method, url, host, ip }: FastifyRequest) {
  return { method, url: maskedUrl(url), host, remoteAddress: ip };
}
