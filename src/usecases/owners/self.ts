import { ownersAfter } from '../../store/owners/owner-rows.ts';
import { findPerson } from '../../store/people/person-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { showOrganisation } from '../organisations/organisations.ts';

/** Whoever keeps the own cars, as far as that is known: their record as an owner, or what it begins with. */
export interface SelfRecord {
  /** Null until the first car is recorded. */
  readonly ownerId: string | null;
  readonly name: string;
  readonly email: string | null;
}

// Besides the keeper only those have a record to whom one of the cars was sold.
const LOOKED_AT = 50;

/**
 * Who a private organisation is, for a form about the own cars: the owner with the address of whoever is
 * signed in, else the first that was added; before there is one, the name and address of the sign-in.
 */
export async function selfOf(context: Context, caller: Caller): Promise<SelfRecord> {
  const { records, sql } = context.store;
  const { self, organisationId } = caller;
  const person = self === undefined ? null : await findPerson(sql, self.personId);
  const owners = await ownersAfter(records, organisationId, '', LOOKED_AT);
  const standing = owners.filter(({ erasedAt }) => erasedAt === null);
  const owner = standing.find(({ email }) => email === person?.email) ?? standing[0];
  if (owner !== undefined) return { ownerId: owner.id, name: owner.name, email: owner.email };
  const organisation = await showOrganisation(context, caller);
  return {
    ownerId: null,
    name: person?.name ?? organisation.name,
    email: person?.email ?? organisation.email,
  };
}
