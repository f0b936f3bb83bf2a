import { notFound, Refused } from '../../domain/refusal.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { Records } from '../../store/database/store.ts';
import type { OwnerRow } from '../../store/owners/owner-rows.ts';
import { findOwner, isCarOwnerErased } from '../../store/owners/owner-rows.ts';
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

/** Refuses what would be agreed with the owner of a car where that one was erased. */
export async function refuseWithoutOwner(sql: Sql, carId: string): Promise<void> {
  if (await isCarOwnerErased(sql, carId)) throw nobodyLeft();
}

/** Why nothing is agreed about a car whose owner was erased, and what to do. */
export function nobodyLeft(): Refused {
  const detail =
    'The owner of this car was erased, so nobody can be written to about it. Give the car to its new owner first.';
  return new Refused({ kind: 'conflict', detail });
}
