import { insertOwner } from '../../store/owners/owner-rows.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Records } from '../../store/database/store.ts';
import type { Caller, Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import type { OrganisationRecord } from '../organisations/organisations.ts';
import { showOrganisation } from '../organisations/organisations.ts';
import type { OwnerRecord } from '../own/owner-records.ts';
import type { OwnerRow } from '../../store/owners/owner-rows.ts';
import { ownerRecordOf } from '../own/owner-records.ts';
import { addressHashOf } from '../context/secret.ts';

export interface NewOwner {
  readonly name: string;
  readonly email: string;
  readonly phone?: string | undefined;
  readonly timeZone?: string | undefined;
  readonly language?: string | undefined;
  readonly refusesCalls?: boolean | undefined;
  readonly postalAddress?: string | undefined;
  readonly postcode?: string | undefined;
}

/** Adds an owner; zone and language are the organisation's where they are not given. */
export async function addOwner(
  context: Context,
  caller: Caller,
  owner: NewOwner,
): Promise<OwnerRecord> {
  const organisation = await showOrganisation(context, caller);
  const now = context.now();
  const row = await context.store.write(({ records }) =>
    addOwnerIn(records, organisation, owner, now),
  );
  return ownerRecordOf(row);
}

/** Adds an owner inside a transaction that does more than this. */
export async function addOwnerIn(
  records: Records,
  organisation: OrganisationRecord,
  owner: NewOwner,
  now: Instant,
): Promise<OwnerRow> {
  const row = {
    id: newId(),
    organisationId: organisation.id,
    name: owner.name,
    email: owner.email,
    addressHash: addressHashOf(owner.email),
    phone: owner.phone ?? null,
    timeZone: owner.timeZone ?? organisation.timeZone,
    language: owner.language ?? organisation.language,
    refusesCalls: owner.refusesCalls ?? false,
    createdAt: now,
    erasedAt: null,
    version: 1,
    postalAddress: owner.postalAddress ?? null,
    postcode: owner.postcode ?? null,
    linksRevokedAt: null,
  };
  await insertOwner(records, row);
  return row;
}
