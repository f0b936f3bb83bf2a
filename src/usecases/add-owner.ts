import { v7 as newId } from 'uuid';
import type { Instant } from '../domain/calendar/instant.ts';
import type { Records } from '../store/store.ts';
import type { Caller, Deed } from './deed.ts';
import type { OrganisationRecord } from './organisations.ts';
import { showOrganisation } from './organisations.ts';
import type { OwnerRecord, OwnerRow } from './owner-records.ts';
import { ownerRecordOf } from './owner-records.ts';
import { addressHashOf } from './secret.ts';

export interface NewOwner {
  readonly name: string;
  readonly email: string;
  readonly phone?: string | undefined;
  readonly timeZone?: string | undefined;
  readonly language?: string | undefined;
  readonly refusesCalls?: boolean | undefined;
}

/** Adds an owner; zone and language are the organisation's where they are not given. */
export async function addOwner(deed: Deed, caller: Caller, owner: NewOwner): Promise<OwnerRecord> {
  const organisation = await showOrganisation(deed, caller);
  const now = deed.now();
  const row = await deed.store.write(({ records }) =>
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
  };
  await records.owner.create({ data: row });
  return row;
}
