import type { Instant } from '../../domain/calendar/instant.ts';
import type { Role } from '../../domain/people/rights.ts';
import { notFound, Refused } from '../../domain/refusal.ts';
import type { Sql } from '../../store/database/sql.ts';
import { lockOrganisation } from '../../store/organisations/organisation-rows.ts';
import { forgetMeans } from '../../store/people/means-rows.ts';
import type { PersonRow } from '../../store/people/person-rows.ts';
import {
  endPerson,
  otherManagers,
  peopleOf,
  personOf,
  setRole,
} from '../../store/people/person-rows.ts';
import { endSessionsOf } from '../../store/people/person-session-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';

export interface PersonRecord {
  readonly id: string;
  readonly name: string;
  readonly email: string;
  readonly role: Role;
  readonly passkeys: number;
  readonly hasPassword: boolean;
  readonly seenAt: Instant | null;
}

/** Who signs in to the caller's organisation. */
export async function listPeople(context: Context, caller: Caller): Promise<PersonRecord[]> {
  requireRight(caller, 'keep-people');
  const rows = await peopleOf(context.store.sql, caller.organisationId);
  return rows.map(({ id, name, email, role, passkeys, passwordHash, seenAt }) => ({
    id,
    name,
    email,
    role: role as Role,
    passkeys,
    hasPassword: passwordHash !== null,
    seenAt,
  }));
}

/** Gives somebody another role; the last manager stays one. It holds from their next step on. */
export async function changeRole(
  context: Context,
  caller: Caller,
  personId: string,
  role: Role,
): Promise<void> {
  await withPerson(context, caller, personId, async (sql, person) => {
    if (role !== 'manager') await requireOtherManager(sql, person);
    await setRole(sql, person.id, role);
  });
}

/** Somebody leaves: they are signed out everywhere at once, and nothing lets them in again. */
export async function partWith(context: Context, caller: Caller, personId: string): Promise<void> {
  const at = context.now();
  await withPerson(context, caller, personId, async (sql, person) => {
    await requireOtherManager(sql, person);
    await forgetMeans(sql, person.id);
    await endPerson(sql, person.id, at);
  });
}

/** Signs somebody out everywhere. */
export async function signOutPerson(
  context: Context,
  caller: Caller,
  personId: string,
): Promise<void> {
  await withPerson(context, caller, personId, (sql, person) => endSessionsOf(sql, person.id, null));
}

async function withPerson(
  context: Context,
  caller: Caller,
  personId: string,
  work: (sql: Sql, person: PersonRow) => Promise<void>,
): Promise<void> {
  requireRight(caller, 'keep-people');
  await context.store.writeSql(async (sql) => {
    // Of two managers who part with each other at once, the second finds the first gone.
    await lockOrganisation(sql, caller.organisationId);
    const person = await personOf(sql, caller.organisationId, personId);
    if (person === null) throw notFound('person');
    await work(sql, person);
  });
}

async function requireOtherManager(sql: Sql, person: PersonRow): Promise<void> {
  if (person.role !== 'manager') return;
  if ((await otherManagers(sql, person.organisationId, person.id)) > 0) return;
  const detail = 'This is the only manager. Make somebody else a manager first.';
  throw new Refused({ kind: 'conflict', detail });
}
