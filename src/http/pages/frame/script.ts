import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';

const source = readFileSync(
  new URL('../../../../templates/pages/passkey.js', import.meta.url),
  'utf8',
);

/** The one script of all pages, for passkeys. Its address changes with its text. */
export const PASSKEY_SCRIPT = {
  source,
  address: `/passkey.js?v=${createHash('sha256').update(source).digest('hex').slice(0, 12)}`,
} as const;
