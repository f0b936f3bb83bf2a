import { createHash, randomBytes } from 'node:crypto';

/** A new secret of 256 random bits; only its hash is ever stored. */
export function newSecret(prefix = ''): { secret: string; hash: string } {
  const secret = `${prefix}${randomBytes(32).toString('base64url')}`;
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
