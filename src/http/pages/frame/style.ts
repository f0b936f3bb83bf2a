import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';

const css = readFileSync(new URL('../../../../templates/pages/style.css', import.meta.url), 'utf8');

/** The one style sheet of all pages. Its address changes with its text, so it may be kept for ever. */
export const STYLE = {
  css,
  address: `/style.css?v=${createHash('sha256').update(css).digest('hex').slice(0, 12)}`,
} as const;
