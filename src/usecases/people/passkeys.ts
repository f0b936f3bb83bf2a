import type { WebAuthnCredential } from '@simplewebauthn/server';
import { z } from 'zod';
import { addMinutes } from '../../domain/calendar/instant.ts';
import { STEP_MINUTES } from '../../domain/people/patience.ts';
import { invalid } from '../../domain/refusal.ts';
import type { PasskeyRow } from '../../store/people/means-rows.ts';
import { storeStep, takeStep } from '../../store/people/sign-in-rows.ts';
import type { Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { hashOf, newSecret } from '../context/secret.ts';

/** The server as a passkey knows it: a relying party (W3C Web Authentication). */
interface RelyingParty {
  readonly rpID: string;
  readonly origin: string;
}

/**
 * The name that passkeys are bound to. An address in figures is none, so a server of this machine
 * goes by `localhost`.
 */
export function relyingPartyOf(publicUrl: string): RelyingParty {
  const { protocol, hostname, port } = new URL(publicUrl);
  const ownMachine = hostname === '127.0.0.1' || hostname === '[::1]';
  const rpID = ownMachine ? 'localhost' : hostname;
  return { rpID, origin: `${protocol}//${rpID}${port === '' ? '' : `:${port}`}` };
}

/** What a browser is asked, and the name under which its answer comes back. */
export interface Challenge {
  readonly step: string;
  readonly options: object;
}

/** What a passkey is made for. */
export interface NewPasskey {
  /** A challenge of one purpose takes no answer to another. */
  readonly purpose: string;
  readonly personId: string;
  readonly email: string;
  readonly name: string;
  readonly known: readonly Pick<PasskeyRow, 'credentialId'>[];
}

// The library is loaded with the first passkey: a start must not wait for it.
const library = () => import('@simplewebauthn/server');

/** Asks a browser to make a passkey: found without an address, unlocked by finger, face or PIN. */
export async function askForNewPasskey(context: Context, asked: NewPasskey): Promise<Challenge> {
  const { generateRegistrationOptions } = await library();
  const options = await generateRegistrationOptions({
    rpName: 'Foldkeep',
    rpID: relyingPartyOf(context.publicUrl).rpID,
    userName: asked.email,
    userDisplayName: asked.name,
    userID: new TextEncoder().encode(asked.personId),
    attestationType: 'none',
    excludeCredentials: asked.known.map(({ credentialId }) => ({ id: credentialId })),
    authenticatorSelection: { residentKey: 'required', userVerification: 'required' },
  });
  return challenge(context, asked.purpose, asked.personId, options);
}

/** Asks a browser for any passkey of this server. */
export async function askForPasskey(context: Context): Promise<Challenge> {
  const { generateAuthenticationOptions } = await library();
  const options = await generateAuthenticationOptions({
    rpID: relyingPartyOf(context.publicUrl).rpID,
    userVerification: 'required',
  });
  return challenge(context, SIGN_IN, '', options);
}

const SIGN_IN = 'sign-in';

async function challenge(
  context: Context,
  purpose: string,
  personId: string,
  options: { readonly challenge: string },
): Promise<Challenge> {
  const { secret, hash } = newSecret();
  const now = context.now();
  const expiresAt = addMinutes(now, STEP_MINUTES);
  const row = { hash, purpose, personId, challenge: options.challenge, expiresAt };
  await context.store.writeSql((sql) => storeStep(sql, row, now));
  return { step: secret, options };
}

/** The passkey that a browser made, ready to be stored. Refused where its answer does not hold. */
export async function newPasskeyFrom(
  context: Context,
  purpose: string,
  { step, answer }: { readonly step: string; readonly answer: string },
  name: string,
): Promise<PasskeyRow> {
  const now = context.now();
  const taken = await context.store.writeSql((sql) => takeStep(sql, hashOf(step), purpose, now));
  if (taken === null) throw invalid('#/answer', LATE);
  const { verifyRegistrationResponse } = await library();
  const { rpID, origin } = relyingPartyOf(context.publicUrl);
  const found = await verifyRegistrationResponse({
    response: answerIn(registration, answer),
    expectedChallenge: taken.challenge,
    expectedOrigin: origin,
    expectedRPID: rpID,
    requireUserVerification: true,
  }).catch(() => ({ verified: false, registrationInfo: undefined }) as const);
  if (!found.verified || found.registrationInfo === undefined) throw invalid('#/answer', UNSOUND);
  const { id, publicKey, counter, transports = [] } = found.registrationInfo.credential;
  return {
    id: newId(),
    personId: taken.personId,
    credentialId: id,
    publicKey: Buffer.from(publicKey).toString('base64url'),
    counter,
    transports: JSON.stringify(transports),
    name,
    createdAt: now,
    lastUsedAt: null,
  };
}

/** What the answer of a passkey came to: it holds, or it does not, whoever's passkey it names. */
export type PasskeyAnswer =
  | { readonly holds: true; readonly passkey: PasskeyRow; readonly counter: number }
  | { readonly holds: false; readonly passkey: PasskeyRow | null };

/**
 * Checks the answer of a passkey; `find` gives what is known of it. It does not hold where it is of nobody
 * here, came too late or again, or is not signed by that passkey.
 */
export async function passkeyAnswered(
  context: Context,
  { step, answer }: { readonly step: string; readonly answer: string },
  find: (credentialId: string) => Promise<PasskeyRow | null>,
): Promise<PasskeyAnswer> {
  const now = context.now();
  const taken = await context.store.writeSql((sql) => takeStep(sql, hashOf(step), SIGN_IN, now));
  const response = answerOrNull(authentication, answer);
  const passkey = response === null ? null : await find(response.id);
  if (taken === null || response === null || passkey === null) return { holds: false, passkey };
  const { verifyAuthenticationResponse } = await library();
  const { rpID, origin } = relyingPartyOf(context.publicUrl);
  const found = await verifyAuthenticationResponse({
    response: response,
    expectedChallenge: taken.challenge,
    expectedOrigin: origin,
    expectedRPID: rpID,
    credential: credentialOf(passkey),
    requireUserVerification: true,
  }).catch(() => null);
  if (found?.verified !== true) return { holds: false, passkey };
  return { holds: true, passkey, counter: found.authenticationInfo.newCounter };
}

function credentialOf({ credentialId, publicKey, counter, transports }: PasskeyRow) {
  return {
    id: credentialId,
    publicKey: new Uint8Array(Buffer.from(publicKey, 'base64url')),
    counter,
    transports: JSON.parse(transports) as NonNullable<WebAuthnCredential['transports']>,
  };
}

const binary = z.string().regex(/^[A-Za-z0-9_-]{1,8192}$/);
const credential = { id: binary, rawId: binary, type: z.literal('public-key') };
const registration = z.object({
  ...credential,
  response: z.object({
    clientDataJSON: binary,
    attestationObject: binary,
    transports: z.array(z.string().max(20)).max(8).optional(),
  }),
  clientExtensionResults: z.object({}),
});
const authentication = z.object({
  ...credential,
  response: z.object({
    clientDataJSON: binary,
    authenticatorData: binary,
    signature: binary,
    userHandle: binary.optional(),
  }),
  clientExtensionResults: z.object({}),
});

function answerOrNull<Shape extends z.ZodType>(shape: Shape, answer: string) {
  try {
    return shape.safeParse(JSON.parse(answer)).data ?? null;
  } catch {
    return null;
  }
}

function answerIn<Shape extends z.ZodType>(shape: Shape, answer: string) {
  const found = answerOrNull(shape, answer);
  if (found === null) throw invalid('#/answer', UNSOUND);
  return found;
}

const LATE = 'The device answered too late. Try again.';
const UNSOUND = 'The device’s answer does not hold. Try again, or take the other way.';
