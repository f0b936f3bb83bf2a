import { createCipheriv, createDecipheriv, hkdfSync } from 'node:crypto';
import { drawBytes } from './random-bytes.ts';

const CIPHER = 'aes-256-gcm';
const NONCE_BYTES = 12;
const TAG_BYTES = 16;

/**
 * Text that only the holder of a secret can read again. `about` says what it belongs to: it opens
 * for nothing else. The secret must be a random one of full length, as `newSecret` makes it.
 */
export function seal(secret: string, about: string, text: string): string {
  const nonce = drawBytes(NONCE_BYTES);
  const cipher = createCipheriv(CIPHER, keyOf(secret, about), nonce);
  const sealed = Buffer.concat([cipher.update(text, 'utf8'), cipher.final()]);
  return Buffer.concat([nonce, cipher.getAuthTag(), sealed]).toString('base64url');
}

/** The text that was sealed; null where it was sealed with another secret, for another, or altered. */
export function unseal(secret: string, about: string, sealed: string): string | null {
  const bytes = Buffer.from(sealed, 'base64url');
  if (bytes.length < NONCE_BYTES + TAG_BYTES) return null;
  const nonce = bytes.subarray(0, NONCE_BYTES);
  const cipher = createDecipheriv(CIPHER, keyOf(secret, about), nonce, {
    authTagLength: TAG_BYTES,
  });
  cipher.setAuthTag(bytes.subarray(NONCE_BYTES, NONCE_BYTES + TAG_BYTES));
  try {
    const text = cipher.update(bytes.subarray(NONCE_BYTES + TAG_BYTES));
    return Buffer.concat([text, cipher.final()]).toString('utf8');
  } catch {
    return null;
  }
}

// One key for each thing sealed, so that chance nonces never meet under the same key (RFC 5869).
function keyOf(secret: string, about: string): Buffer {
  return Buffer.from(hkdfSync('sha256', secret, '', about, 32));
}
