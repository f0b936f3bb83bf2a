import type { Instant } from '../../domain/calendar/instant.ts';
import { addHours, addMinutes } from '../../domain/calendar/instant.ts';
import { FRESH_MINUTES, IDLE_HOURS, SESSION_DAYS } from '../../domain/people/patience.ts';
import type { OrganisationKind } from '../../domain/organisation-kind.ts';
import type { Role } from '../../domain/people/rights.ts';
import { Refused } from '../../domain/refusal.ts';
import type { Sql } from '../../store/database/sql.ts';
import {
  endSessionOf,
  endSessionOfToken,
  endSessionsOf,
  noteSessionSeen,
  personOfSession,
  sessionsOf,
  storePersonSession,
} from '../../store/people/person-session-rows.ts';
import type { Caller, Context, Self, Visitor } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { hashOf, newSecret } from '../context/secret.ts';

export type Means = 'passkey' | 'password' | 'recovery-code' | 'invitation';

const NOTE_MINUTES = 10;
const DEVICE_LENGTH = 300;

/** Begins a session; its token is new each time and kept as a hash only. */
export async function beginSession(
  sql: Sql,
  personId: string,
  { device, means, at }: { readonly device: string; readonly means: Means; readonly at: Instant },
): Promise<string> {
  const { secret, hash } = newSecret();
  await storePersonSession(sql, {
    id: newId(),
    personId,
    hash,
    createdAt: at,
    seenAt: at,
    expiresAt: addHours(at, SESSION_DAYS * 24),
    device: device.slice(0, DEVICE_LENGTH),
    means,
  });
  return secret;
}

/** Who is signed in with a token; null where the session has ended or the person has left. */
export async function personOfToken(context: Context, token: string): Promise<Visitor | null> {
  const { store } = context;
  const now = context.now();
  const row = await personOfSession(store.sql, hashOf(token), now, addHours(now, -IDLE_HOURS));
  if (row === null) return null;
  if (addMinutes(row.seenAt, NOTE_MINUTES) <= now) {
    // A full disk must not sign anybody out.
    await store.writeSql((sql) => noteSessionSeen(sql, row.sessionId, now)).catch(() => undefined);
  }
  const { id, organisationId, name, createdAt, language } = row;
  const role = row.role as Role;
  const author = { id: `person:${id}`, name };
  const self = { personId: id, sessionId: row.sessionId, signedInAt: createdAt };
  const kind = row.kind as OrganisationKind;
  return { organisationId, keyId: author.id, scope: 'full', role, self, author, kind, language };
}

/** Whoever asks as themselves; refused to a key, which is nobody. */
export function selfOf({ self }: Caller): Self {
  if (self !== undefined) return self;
  const detail = 'You signed in with a key of the organisation. Sign in as yourself for this.';
  throw new Refused({ kind: 'not-allowed', detail });
}

/** Whether somebody signed in so lately that they may change how they sign in (ASVS 5.0, 7.5.1). */
export function isFresh(context: Context, { signedInAt }: Self): boolean {
  return addMinutes(signedInAt, FRESH_MINUTES) > context.now();
}

/** Refuses whoever signed in longer ago. */
export function requireFresh(context: Context, self: Self): void {
  if (isFresh(context, self)) return;
  const detail = 'Sign in again first: you signed in too long ago to change how you sign in.';
  throw new Refused({ kind: 'not-allowed', detail });
}

export interface SessionRecord {
  readonly id: string;
  readonly device: string;
  readonly means: Means;
  readonly createdAt: Instant;
  readonly seenAt: Instant;
  /** Whether it is the one that asks. */
  readonly own: boolean;
}

/** Where somebody is signed in. */
export async function listSessions(context: Context, self: Self): Promise<SessionRecord[]> {
  const now = context.now();
  const since = addHours(now, -IDLE_HOURS);
  const rows = await sessionsOf(context.store.sql, self.personId, now, since);
  return rows.map(({ id, device, means, createdAt, seenAt }) => ({
    id,
    device,
    means: means as Means,
    createdAt,
    seenAt,
    own: id === self.sessionId,
  }));
}

/** Ends one of one's own sessions at once. */
export async function endOneSession(context: Context, self: Self, id: string): Promise<void> {
  await context.store.writeSql((sql) => endSessionOf(sql, self.personId, id));
}

/** Ends all of one's own sessions but the one that asks. */
export async function endOtherSessions(context: Context, self: Self): Promise<void> {
  await context.store.writeSql((sql) => endSessionsOf(sql, self.personId, self.sessionId));
}

/** Ends the session of a token. */
export async function endTokenSession(context: Context, token: string): Promise<void> {
  await context.store.writeSql((sql) => endSessionOfToken(sql, hashOf(token)));
}
