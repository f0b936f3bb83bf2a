import type { Instant } from '../../domain/calendar/instant.ts';
import type { Role } from '../../domain/people/rights.ts';
import { notFound, Refused } from '../../domain/refusal.ts';
import {
  insertPasskey,
  passkeysOf,
  recoveryCodesLeft,
  removePasskey,
} from '../../store/people/means-rows.ts';
import { endSessionsOf } from '../../store/people/person-session-rows.ts';
import type { PersonRow } from '../../store/people/person-rows.ts';
import { findPerson, setLanguage, setPassword } from '../../store/people/person-rows.ts';
import type { Context, Self } from '../context/context.ts';
import type { NewMeans } from './join.ts';
import { passwordFrom } from './join.ts';
import type { Challenge } from './passkeys.ts';
import { askForNewPasskey, newPasskeyFrom } from './passkeys.ts';
import type { SessionRecord } from './sessions.ts';
import { isFresh, listSessions, requireFresh } from './sessions.ts';

/** How somebody signs in, as they see it themselves. */
export interface SelfRecord {
  readonly name: string;
  readonly email: string;
  readonly role: Role;
  /** In which pages and mails speak to them; null for that of the organisation. */
  readonly language: string | null;
  readonly passkeys: readonly {
    readonly id: string;
    readonly name: string;
    readonly createdAt: Instant;
    readonly lastUsedAt: Instant | null;
  }[];
  readonly hasPassword: boolean;
  readonly recoveryCodes: number;
  readonly sessions: readonly SessionRecord[];
  /** Whether the means may be changed now, without signing in again. */
  readonly fresh: boolean;
}

export async function readSelf(context: Context, self: Self): Promise<SelfRecord> {
  const { sql } = context.store;
  const { name, email, role, language, passwordHash } = await personOfSelf(context, self);
  const passkeys = await passkeysOf(sql, self.personId);
  return {
    name,
    email,
    role: role as Role,
    language,
    passkeys: passkeys.map(({ id, name: called, createdAt, lastUsedAt }) => ({
      id,
      name: called,
      createdAt,
      lastUsedAt,
    })),
    hasPassword: passwordHash !== null,
    recoveryCodes: await recoveryCodesLeft(sql, self.personId),
    sessions: await listSessions(context, self),
    fresh: isFresh(context, self),
  };
}

/** Chooses in which language pages and mails speak to somebody; null for that of their organisation. */
export async function chooseLanguage(
  context: Context,
  { personId }: Self,
  language: string | null,
): Promise<void> {
  await context.store.writeSql((sql) => setLanguage(sql, personId, language));
}

async function personOfSelf(context: Context, { personId }: Self): Promise<PersonRow> {
  const person = await findPerson(context.store.sql, personId);
  if (person === null) throw notFound('person');
  return person;
}

/** Asks the browser for one more passkey. */
export async function askForOwnPasskey(context: Context, self: Self): Promise<Challenge> {
  requireFresh(context, self);
  const { name, email } = await personOfSelf(context, self);
  const known = await passkeysOf(context.store.sql, self.personId);
  const { personId } = self;
  return askForNewPasskey(context, { purpose: `add:${personId}`, personId, email, name, known });
}

/** Keeps one more passkey; other sessions go on. */
export async function addOwnPasskey(
  context: Context,
  self: Self,
  answered: { readonly step: string; readonly answer: string },
  name: string,
): Promise<void> {
  requireFresh(context, self);
  const made = await newPasskeyFrom(context, `add:${self.personId}`, answered, name);
  await context.store.writeSql((sql) => insertPasskey(sql, { ...made, personId: self.personId }));
}

/** Takes a passkey away, unless it is the only way in, and ends the other sessions. */
export async function dropOwnPasskey(context: Context, self: Self, id: string): Promise<void> {
  requireFresh(context, self);
  await context.store.writeSql(async (sql) => {
    const person = await findPerson(sql, self.personId);
    if (!(await removePasskey(sql, self.personId, id))) throw notFound('passkey');
    const left = await passkeysOf(sql, self.personId);
    if (left.length === 0 && person?.passwordHash === null) {
      throw new Refused({
        kind: 'conflict',
        detail: 'This is your only way in. Add another passkey or a password first.',
      });
    }
    await endSessionsOf(sql, self.personId, self.sessionId);
  });
}

/** Sets or changes the password with its authenticator, and ends the other sessions. */
export async function setOwnPassword(
  context: Context,
  self: Self,
  means: Omit<Extract<NewMeans, { kind: 'password' }>, 'kind'>,
): Promise<void> {
  requireFresh(context, self);
  const { name, email } = await personOfSelf(context, self);
  const made = await passwordFrom(context, means, [name, email]);
  await context.store.writeSql(async (sql) => {
    await setPassword(sql, self.personId, made);
    await endSessionsOf(sql, self.personId, self.sessionId);
  });
}
