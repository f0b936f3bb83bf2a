import { generateSecret, generateURI, verify } from 'otplib';
import type { Instant } from '../../domain/calendar/instant.ts';
import { msOf } from '../../domain/calendar/instant.ts';

/** What an authenticator is set up from: a secret of 160 bits, and the address that it reads as a picture. */
export function newAuthenticator(email: string, secret = generateSecret()) {
  return { secret, uri: generateURI({ issuer: 'Foldkeep', label: email, secret }) };
}

// Compared where there is nothing to compare with, so that no answer comes sooner.
const NOBODYS = 'KJ62V65NX6KW3XPP5CT4YFMVSTZHS2GZ';
/** Clocks differ: the step before and the one after count too (RFC 6238, section 5.2). */
const TOLERANCE_SECONDS = 30;

/** The step of time that a code of six digits belongs to (RFC 6238); null where it is none. */
export async function stepOfCode(
  secret: string | null,
  code: string,
  at: Instant,
): Promise<number | null> {
  const token = /^\d{6}$/.test(code) ? code : '000000';
  const found = await verify({
    secret: secret ?? NOBODYS,
    token,
    epoch: Math.floor(msOf(at) / 1000),
    epochTolerance: TOLERANCE_SECONDS,
  });
  const right = found.valid && secret !== null && token === code;
  return right && 'timeStep' in found ? found.timeStep : null;
}

/** Whether a secret could come from `newAuthenticator`. */
export function isAuthenticatorSecret(secret: string): boolean {
  return /^[A-Z2-7]{32}$/.test(secret);
}
