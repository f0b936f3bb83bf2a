import { v7 as newMessageId } from 'uuid';
import type { Instant } from '../../domain/calendar/instant.ts';
import { addHours } from '../../domain/calendar/instant.ts';
import { INVITATION_DAYS, SHORT_LINK_HOURS } from '../../domain/people/patience.ts';
import type { Role } from '../../domain/people/rights.ts';
import { notFound } from '../../domain/refusal.ts';
import type { OutgoingLetter } from '../../mail/outgoing.ts';
import { letterheadOf } from '../../store/organisations/organisation-rows.ts';
import type { InvitationRow } from '../../store/people/invitation-rows.ts';
import {
  insertInvitation,
  openInvitationsOf,
  replaceFirst,
  replaceInvitations,
  takeInvitationBack,
} from '../../store/people/invitation-rows.ts';
import { findPerson, isNothingHere, personOf } from '../../store/people/person-rows.ts';
import { invitationMail } from '../../views/mails/staff-mail.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { newSecret } from '../context/secret.ts';

/** Sends one message to somebody of the organisation; true where a mail server took it over. */
export type Post = (message: Omit<OutgoingLetter, 'from'>, from: string) => Promise<boolean>;

export interface Invited {
  readonly id: string;
  /** Whether it went out by mail. */
  readonly mailed: boolean;
  /** To be handed over by hand, shown this once; null where it went out by mail. */
  readonly url: string | null;
}

/** Whom to invite. */
export interface Wish {
  readonly name: string;
  readonly email: string;
  readonly role: Role;
}

/** Invites somebody to sign in as themselves; an earlier invitation to the address ends. */
export async function invite(
  context: Context,
  caller: Caller,
  wish: Wish,
  post: Post | null,
): Promise<Invited> {
  requireRight(caller, 'keep-people');
  const { organisationId, author } = caller;
  const email = wish.email.trim().toLowerCase();
  return send(context, post, INVITATION_DAYS * 24, {
    organisationId,
    personId: null,
    email,
    name: wish.name,
    role: wish.role,
    invitedBy: author.id,
  });
}

/**
 * Gives somebody who lost every means of signing in a link to set up others. Those that they had end
 * when it is used, not before.
 */
export async function inviteAgain(
  context: Context,
  caller: Caller,
  personId: string,
  post: Post | null,
): Promise<Invited> {
  requireRight(caller, 'keep-people');
  const { organisationId, author } = caller;
  const person = await personOf(context.store.sql, organisationId, personId);
  if (person === null) throw notFound('person');
  const { email, name, role } = person;
  const invitedBy = author.id;
  const row = { organisationId, personId, email, name, role, invitedBy };
  return send(context, post, SHORT_LINK_HOURS, row);
}

type NewInvitation = Pick<
  InvitationRow,
  'organisationId' | 'personId' | 'email' | 'name' | 'role' | 'invitedBy'
> & { readonly organisationId: string };

async function send(
  context: Context,
  post: Post | null,
  hours: number,
  wish: NewInvitation,
): Promise<Invited> {
  const at = context.now();
  const { url, row } = newInvitation(context, wish, at, hours);
  const organisation = await letterheadOf(context.store.sql, wish.organisationId);
  await context.store.writeSql(async (sql) => {
    await replaceInvitations(sql, wish.organisationId, wish, at);
    await insertInvitation(sql, row);
  });
  const { email, name } = wish;
  if (post === null || email === null || organisation === null)
    return { id: row.id, mailed: false, url };
  const known = wish.personId === null ? null : await findPerson(context.store.sql, wish.personId);
  const reader = { name: name ?? '', language: known?.language ?? organisation.language };
  const words = invitationMail(reader, {
    organisation: organisation.name,
    url,
    until: row.expiresAt,
    timeZone: organisation.timeZone,
    again: known !== null,
  });
  const message = {
    ...words,
    messageId: `<i-${newMessageId()}@${context.mailDomain}>`,
    date: at,
    to: { name: reader.name, address: email },
    headers: {},
  };
  const mailed = await post(message, organisation.name);
  return { id: row.id, mailed, url: mailed ? null : url };
}

function newInvitation(
  { publicUrl }: Pick<Context, 'publicUrl'>,
  wish: Omit<InvitationRow, 'id' | 'hash' | 'createdAt' | 'expiresAt' | 'usedAt' | 'revokedAt'>,
  at: Instant,
  hours: number,
): { url: string; row: InvitationRow } {
  const { secret, hash } = newSecret();
  const expiresAt = addHours(at, hours);
  return {
    url: `${publicUrl}/join/${secret}`,
    row: { ...wish, id: newId(), hash, createdAt: at, expiresAt, usedAt: null, revokedAt: null },
  };
}

export interface InvitationRecord {
  readonly id: string;
  readonly name: string;
  readonly email: string;
  readonly role: Role;
  readonly expiresAt: Instant;
}

/** The invitations of the caller's organisation that nobody has taken yet. */
export async function listInvitations(
  context: Context,
  caller: Caller,
): Promise<InvitationRecord[]> {
  requireRight(caller, 'keep-people');
  const rows = await openInvitationsOf(context.store.sql, caller.organisationId, context.now());
  return rows.map(({ id, name, email, role, expiresAt }) => ({
    id,
    name: name ?? '',
    email: email ?? '',
    role: role as Role,
    expiresAt,
  }));
}

/** Takes an invitation back. */
export async function takeBackInvitation(
  context: Context,
  caller: Caller,
  id: string,
): Promise<void> {
  requireRight(caller, 'keep-people');
  const at = context.now();
  const taken = await context.store.writeSql((sql) =>
    takeInvitationBack(sql, caller.organisationId, id, at),
  );
  if (!taken) throw notFound('invitation');
}

/**
 * The link by which the first of all comes in and brings the organisation along, while nothing and
 * nobody is here; else null. Each start makes a new one and ends the one before.
 */
export async function firstLink(context: Context): Promise<string | null> {
  const at = context.now();
  return context.store.writeSql(async (sql) => {
    if (!(await isNothingHere(sql))) return null;
    const wish = { organisationId: null, personId: null, email: null, name: null } as const;
    const first = { ...wish, role: 'manager', invitedBy: 'program:start' };
    const { url, row } = newInvitation(context, first, at, SHORT_LINK_HOURS);
    await replaceFirst(sql, at);
    await insertInvitation(sql, row);
    return url;
  });
}
