import { addHours } from '../domain/calendar/instant.ts';
import { endSession, keyOfSession, storeSession } from '../store/session-rows.ts';
import type { Caller, Deed, Scope } from './deed.ts';
import { newId } from './new-id.ts';
import { callerOf } from './organisations.ts';
import { hashOf, newSecret } from './secret.ts';

/** After so long a browser has to sign in again: a working day. */
export const SESSION_HOURS = 12;

export type SignedIn =
  | { readonly kind: 'unknown-key' }
  /** The key may log positions and nothing else, so it opens no pages. */
  | { readonly kind: 'narrow-key' }
  | { readonly kind: 'signed-in'; readonly token: string };

/** Begins a session for whoever holds a key; its token is new each time and kept as a hash only. */
export async function signIn(deed: Deed, key: string): Promise<SignedIn> {
  const caller = await callerOf(deed, key);
  if (caller === null) return { kind: 'unknown-key' };
  if (caller.scope === 'log') return { kind: 'narrow-key' };
  const createdAt = deed.now();
  const { secret, hash } = newSecret();
  const { organisationId, keyId } = caller;
  const expiresAt = addHours(createdAt, SESSION_HOURS);
  const row = { id: newId(), organisationId, accessKeyId: keyId, hash, createdAt, expiresAt };
  await deed.store.writeSql((sql) => storeSession(sql, row));
  return { kind: 'signed-in', token: secret };
}

/** Who is signed in with a token; null where the session or its key has ended. */
export async function callerOfSession(deed: Deed, token: string): Promise<Caller | null> {
  const found = await keyOfSession(deed.store.sql, hashOf(token), deed.now());
  return found === null ? null : { ...found, scope: found.scope as Scope };
}

/** Ends a session at once. */
export async function signOut(deed: Deed, token: string): Promise<void> {
  await deed.store.writeSql((sql) => endSession(sql, hashOf(token)));
}
