import type { OrganisationKind } from '../../domain/organisation-kind.ts';
import { addHours } from '../../domain/calendar/instant.ts';
import { endSession, keyOfSession, storeSession } from '../../store/owners/session-rows.ts';
import { hasManager } from '../../store/people/person-rows.ts';
import type { Context, Visitor } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { endTokenSession, personOfToken } from '../people/sessions.ts';
import { callerOf, callerWithKey } from './organisations.ts';
import { hashOf, newSecret } from '../context/secret.ts';

/** After so long a browser has to sign in again: a working day. */
export const SESSION_HOURS = 12;

export type SignedIn =
  | { readonly kind: 'unknown-key' }
  /** The key may log positions and nothing else, so it opens no pages. */
  | { readonly kind: 'narrow-key' }
  /** A manager of its organisation signs in as themselves, so its keys open no pages. */
  | { readonly kind: 'people-sign-in' }
  | { readonly kind: 'signed-in'; readonly token: string };

/** Begins a session for whoever holds a key; its token is new each time and kept as a hash only. */
export async function signIn(context: Context, key: string): Promise<SignedIn> {
  const caller = await callerOf(context, key);
  if (caller === null) return { kind: 'unknown-key' };
  if (caller.scope === 'log') return { kind: 'narrow-key' };
  if (await hasManager(context.store.sql, caller.organisationId)) return { kind: 'people-sign-in' };
  const createdAt = context.now();
  const { secret, hash } = newSecret();
  const { organisationId, keyId } = caller;
  const expiresAt = addHours(createdAt, SESSION_HOURS);
  const row = { id: newId(), organisationId, accessKeyId: keyId, hash, createdAt, expiresAt };
  await context.store.writeSql((sql) => storeSession(sql, row));
  return { kind: 'signed-in', token: secret };
}

/** Who is signed in with a token, a person or a key; null where the session or its key has ended. */
export async function callerOfSession(context: Context, token: string): Promise<Visitor | null> {
  const person = await personOfToken(context, token);
  if (person !== null) return person;
  const found = await keyOfSession(context.store.sql, hashOf(token), context.now());
  if (found === null) return null;
  const { language } = found;
  const caller = await callerWithKey(context, found);
  return { ...caller, kind: found.kind as OrganisationKind, language };
}

/** Ends a session at once. */
export async function signOut(context: Context, token: string): Promise<void> {
  await endTokenSession(context, token);
  await context.store.writeSql((sql) => endSession(sql, hashOf(token)));
}
