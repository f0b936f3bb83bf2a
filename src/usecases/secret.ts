import { createHash, randomBytes } from 'node:crypto';

const SECRET_BYTES = 32;
const SECRETS_DRAWN = 128;
let drawn = Buffer.alloc(0);

/** A new secret of 256 random bits; only its hash is ever stored. */
export function newSecret(prefix = ''): { secret: string; hash: string } {
  // A round makes thousands of links; drawing their bytes one by one costs more than the letters.
  if (drawn.length < SECRET_BYTES) drawn = randomBytes(SECRET_BYTES * SECRETS_DRAWN);
  const secret = `${prefix}${drawn.subarray(0, SECRET_BYTES).toString('base64url')}`;
  drawn = drawn.subarray(SECRET_BYTES);
  return { secret, hash: hashOf(secret) };
}

/** The stored form of a secret. A plain hash is enough at 256 bits (ASVS 5.0, 6.5.2). */
export function hashOf(secret: string): string {
  return createHash('sha256').update(secret).digest('hex');
}

/** The key under which refusals and dead addresses are remembered, whoever the owner is. */
export function addressHashOf(email: string): string {
  return hashOf(email.trim().toLowerCase());
}
