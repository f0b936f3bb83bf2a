import { hash as digestOf } from 'node:crypto';
import { drawBytes } from './random-bytes.ts';

const SECRET_BYTES = 32;

/** A new secret of 256 random bits; only its hash is ever stored. */
export function newSecret(prefix = ''): { secret: string; hash: string } {
  const secret = `${prefix}${drawBytes(SECRET_BYTES).toString('base64url')}`;
  return { secret, hash: hashOf(secret) };
}

/** The stored form of a secret. A plain hash is enough at 256 bits (ASVS 5.0, 6.5.2). */
export function hashOf(secret: string): string {
  return digestOf('sha256', secret, 'hex');
}

/** The key under which refusals and dead addresses are remembered, whoever the owner is. */
export function addressHashOf(email: string): string {
  return hashOf(email.trim().toLowerCase());
}
