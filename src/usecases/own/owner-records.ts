import { notFound } from '../../domain/refusal.ts';
import type { Records } from '../../store/database/store.ts';
import type { OwnerRow } from '../../store/owners/owner-rows.ts';
import { findOwner } from '../../store/owners/owner-rows.ts';
import type { Caller } from '../context/context.ts';

export interface OwnerRecord {
  readonly id: string;
  readonly name: string;
  readonly email: string;
  readonly phone: string | null;
  readonly timeZone: string;
  readonly language: string;
  readonly refusesCalls: boolean;
  readonly postalAddress: string | null;
  readonly postcode: string | null;
  readonly createdAt: string;
  readonly version: number;
}

export function ownerRecordOf(row: OwnerRow): OwnerRecord {
  return {
    id: row.id,
    name: row.name,
    email: row.email,
    phone: row.phone,
    timeZone: row.timeZone,
    language: row.language,
    refusesCalls: row.refusesCalls,
    postalAddress: row.postalAddress,
    postcode: row.postcode,
    createdAt: row.createdAt,
    version: row.version,
  };
}

/** An owner of the caller's organisation; anybody else's is not found. */
export async function ownOwner(records: Records, caller: Caller, id: string): Promise<OwnerRow> {
  const row = await findOwner(records, caller.organisationId, id);
  if (row === null) throw notFound('owner');
  return row;
}
