import type { Role } from '../../domain/people/rights.ts';
import { invalid, notFound, Refused } from '../../domain/refusal.ts';
import { insertOrganisation, letterheadOf } from '../../store/organisations/organisation-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { isTaken } from '../../store/database/sql.ts';
import type { InvitationRow } from '../../store/people/invitation-rows.ts';
import { openInvitation, useInvitation } from '../../store/people/invitation-rows.ts';
import type { PasskeyRow } from '../../store/people/means-rows.ts';
import { forgetMeans, insertPasskey } from '../../store/people/means-rows.ts';
import type { PasswordRow, PersonRow } from '../../store/people/person-rows.ts';
import { insertPerson, setPassword } from '../../store/people/person-rows.ts';
import { actingAs } from '../context/acting.ts';
import type { Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { hashOf } from '../context/secret.ts';
import { isAuthenticatorSecret, stepOfCode } from './authenticator.ts';
import type { Challenge } from './passkeys.ts';
import { askForNewPasskey, newPasskeyFrom } from './passkeys.ts';
import { hashPassword, judgePassword } from './password.ts';
import { beginSession } from './sessions.ts';
import type { Arrival } from './sign-in-log.ts';
import { noteCameIn } from './sign-in-log.ts';

/** What a link to come in by says before anybody does. */
export interface JoinRecord {
  /** Null for the first of all, who brings it along. */
  readonly organisation: string | null;
  readonly email: string | null;
  readonly name: string | null;
  readonly role: Role;
  /** Whether the person signs in already, and sets up other means. */
  readonly again: boolean;
}

/** What somebody says of themselves who comes in. */
export interface Newcomer {
  readonly name: string;
  readonly email: string;
  readonly organisation?: {
    readonly name: string;
    readonly kind: string;
    readonly timeZone: string;
    readonly language: string;
  };
}

export type NewMeans =
  | { readonly kind: 'passkey'; readonly step: string; readonly answer: string }
  | {
      readonly kind: 'password';
      readonly password: string;
      readonly secret: string;
      readonly code: string;
    };

/** What a link opens; refused where it is used, taken back or over, whichever it is. */
export async function readInvitation(context: Context, token: string): Promise<JoinRecord> {
  const invitation = await found(context, token);
  const { organisationId, personId, email, name, role } = invitation;
  const organisation =
    organisationId === null ? null : await letterheadOf(context.store.sql, organisationId);
  return {
    organisation: organisation?.name ?? null,
    email,
    name,
    role: role as Role,
    again: personId !== null,
  };
}

async function found(context: Context, token: string): Promise<InvitationRow> {
  const row = await openInvitation(context.store.sql, hashOf(token), context.now());
  if (row === null) throw notFound('invitation');
  return row;
}

/** Asks the browser of whoever holds a link to make a passkey. */
export async function askNewcomerForPasskey(
  context: Context,
  token: string,
  newcomer: { readonly name: string; readonly email: string },
): Promise<Challenge> {
  const invitation = await found(context, token);
  return askForNewPasskey(context, {
    purpose: `join:${invitation.id}`,
    personId: invitation.personId ?? newId(),
    email: invitation.email ?? newcomer.email.trim().toLowerCase(),
    name: newcomer.name,
    known: [],
  });
}

/**
 * Somebody comes in by a link: it is used up, they have one means of signing in, and are signed in. A
 * person who signed in before loses the means they had. Gives the tokens of session and browser.
 */
export async function join(
  context: Context,
  token: string,
  newcomer: Newcomer,
  means: NewMeans,
  arrival: Arrival,
): Promise<{ readonly token: string; readonly browser: string }> {
  const invitation = await found(context, token);
  const email = invitation.email ?? newcomer.email.trim().toLowerCase();
  const about = [newcomer.name, email, newcomer.organisation?.name ?? ''];
  const made = await madeOf(context, invitation, means, about);
  const at = context.now();
  const personId = invitation.personId ?? made.passkey?.personId ?? newId();
  const comeIn = () =>
    context.store.writeSql(async (sql) => {
      if (!(await useInvitation(sql, invitation.id, at))) throw notFound('invitation');
      const organisationId =
        invitation.organisationId ?? (await newOrganisation(sql, newcomer, at));
      if (invitation.personId === null) {
        const { role } = invitation;
        const name = newcomer.name;
        await insertPerson(sql, blank({ id: personId, organisationId, name, email, role }, at));
      } else await forgetMeans(sql, personId);
      if (made.passkey !== null) await insertPasskey(sql, { ...made.passkey, personId });
      if (made.password !== null) await setPassword(sql, personId, made.password);
      const person = { id: personId, organisationId };
      const session = { device: arrival.device, means: 'invitation', at } as const;
      const { browser } = await noteCameIn(sql, person, arrival, session);
      return { token: await beginSession(sql, personId, session), browser };
    });
  try {
    const author = { id: `person:${personId}`, name: invitation.name ?? newcomer.name };
    return await actingAs(context, { author }, comeIn);
  } catch (fault) {
    if (!isTaken(fault)) throw fault;
    const detail =
      'This address signs in already. Ask for an invitation to another address of yours.';
    throw new Refused({ kind: 'conflict', detail });
  }
}

async function newOrganisation(sql: Sql, newcomer: Newcomer, at: string): Promise<string> {
  const { organisation } = newcomer;
  if (organisation === undefined)
    throw invalid('#/organisation', 'Say what your organisation is called.');
  const id = newId();
  if (!(await insertOrganisation(sql, { id, ...organisation, createdAt: at }))) {
    throw invalid('#/organisation', 'There is one of this name already.');
  }
  return id;
}

function blank(
  known: Pick<PersonRow, 'id' | 'organisationId' | 'name' | 'email' | 'role'>,
  createdAt: string,
): PersonRow {
  const none = { endedAt: null, passwordHash: null, totpSecret: null, totpStep: null };
  const unset = { passwordSetAt: null, recoveryCodesMadeAt: null, language: null };
  return { ...known, createdAt, ...none, ...unset };
}

interface Made {
  readonly passkey: PasskeyRow | null;
  readonly password: PasswordRow | null;
}

async function madeOf(
  context: Context,
  invitation: InvitationRow,
  means: NewMeans,
  about: readonly string[],
): Promise<Made> {
  if (means.kind === 'password') {
    return { passkey: null, password: await passwordFrom(context, means, about) };
  }
  const purpose = `join:${invitation.id}`;
  return {
    passkey: await newPasskeyFrom(context, purpose, means, 'first passkey'),
    password: null,
  };
}

/** A password with the authenticator that goes with it, once a code shows that it is set up. */
export async function passwordFrom(
  context: Context,
  { password, secret, code }: Omit<Extract<NewMeans, { kind: 'password' }>, 'kind'>,
  about: readonly string[],
): Promise<NonNullable<Made['password']>> {
  await judgePassword(password, about);
  if (!isAuthenticatorSecret(secret))
    throw invalid('#/code', 'Open the page anew and begin again.');
  const at = context.now();
  const step = await stepOfCode(secret, code.replaceAll(/\s/g, ''), at);
  if (step === null) {
    const detail = 'This is not the code that the authenticator shows now. Wait for the next one.';
    throw invalid('#/code', detail);
  }
  const passwordHash = await hashPassword(password);
  return { passwordHash, totpSecret: secret, totpStep: step, passwordSetAt: at };
}
