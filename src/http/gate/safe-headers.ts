import type { FastifyHelmetOptions } from '@fastify/helmet';

const POLICY = {
  'default-src': ["'none'"],
  'style-src': ["'self'"],
  'img-src': ["'self'", 'data:'],
  'form-action': ["'self'"],
  'frame-ancestors': ["'none'"],
  'base-uri': ["'none'"],
};

/** What a page may load; `changes` replaces single lines of it. */
export function contentPolicy(changes: Readonly<Record<string, string[]>> = {}) {
  return { useDefaults: false, directives: { ...POLICY, ...changes } };
}

/** The same as the text of a header, with lines added. */
export function policyText(more: Readonly<Record<string, readonly string[]>>): string {
  return Object.entries({ ...POLICY, ...more })
    .map(([name, values]) => `${name} ${values.join(' ')}`)
    .join(';');
}

/**
 * What every page tells a browser: to run no script, to guess no type, and to be framed by nobody
 * and tell nobody the address. Whether HTTPS is demanded is for the proxy to say that speaks it.
 * Answers of the API are shown by no browser and go without: a dozen headers cost 20 µs each time.
 */
export const SAFE_HEADERS: FastifyHelmetOptions = {
  contentSecurityPolicy: contentPolicy(),
  referrerPolicy: { policy: 'no-referrer' },
  strictTransportSecurity: false,
  xFrameOptions: { action: 'deny' },
};

/** For the pages that take passkeys: their own script, which asks this server for challenges. */
export const PASSKEY_HEADERS: FastifyHelmetOptions = {
  contentSecurityPolicy: contentPolicy({ 'script-src': ["'self'"], 'connect-src': ["'self'"] }),
};

/** For a page that shows a letter in a frame without scripts, forms or an origin: its styles are in its tags. */
export const LETTER_HEADERS = {
  contentSecurityPolicy: contentPolicy({ 'style-src': ["'self'", "'unsafe-inline'"] }),
} satisfies FastifyHelmetOptions;
