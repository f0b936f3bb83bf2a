import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';

/** For passkeys. */
export const PASSKEY_SCRIPT = scriptNamed('passkey');
/** Keeps a form in the browser while the line is down; the pages work without it. */
export const KEEP_SCRIPT = scriptNamed('keep');

/** Offers a calendar beside a field for a day; the field works without it. */
export const PICK_SCRIPT = scriptNamed('pick');

/** All of them, as they are served. */
export const SCRIPTS = [PASSKEY_SCRIPT, KEEP_SCRIPT, PICK_SCRIPT];

/** A script of the pages. Its address changes with its text, so it may be kept for ever. */
function scriptNamed(name: string) {
  const source = readFileSync(
    new URL(`../../../../templates/pages/${name}.js`, import.meta.url),
    'utf8',
  );
  const digest = createHash('sha256').update(source).digest('hex').slice(0, 12);
  return { source, path: `/${name}.js`, address: `/${name}.js?v=${digest}` } as const;
}
