import { v7 as newId } from 'uuid';
import type { Caller, Deed } from './deed.ts';
import type { OwnerRecord } from './owner-records.ts';
import { ownerRecordOf } from './owner-records.ts';
import { showOrganisation } from './organisations.ts';
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
  const row = {
    id: newId(),
    organisationId: caller.organisationId,
    name: owner.name,
    email: owner.email,
    addressHash: addressHashOf(owner.email),
    phone: owner.phone ?? null,
    timeZone: owner.timeZone ?? organisation.timeZone,
    language: owner.language ?? organisation.language,
    refusesCalls: owner.refusesCalls ?? false,
    createdAt: deed.now(),
    erasedAt: null,
    version: 1,
  };
  await deed.store.write(({ records }) => records.owner.create({ data: row }));
  return ownerRecordOf(row);
}
