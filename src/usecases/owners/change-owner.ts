import { changeOwnerRow } from '../../store/owners/owner-rows.ts';
import { lockCarsOfOwner } from '../../store/cars/owner-page-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { cancelAllTo, reconsiderCars } from '../round/cancel-untrue.ts';
import type { OwnerRecord } from '../own/owner-records.ts';
import { ownerRecordOf, ownOwner } from '../own/owner-records.ts';
import { addressHashOf } from '../context/secret.ts';
import { requireHeld, requireVersion } from '../context/version.ts';
import { rewriteVisitLetters } from '../visits/visit-letters.ts';

export interface OwnerChange {
  readonly name?: string | undefined;
  readonly email?: string | undefined;
  readonly phone?: string | null | undefined;
  readonly timeZone?: string | undefined;
  readonly language?: string | undefined;
  readonly refusesCalls?: boolean | undefined;
  readonly postalAddress?: string | null | undefined;
  readonly postcode?: string | null | undefined;
}

/**
 * Changes an owner. Letters that wait for an address that is no longer the owner's are cancelled and
 * written anew to the right one.
 */
export async function changeOwner(
  context: Context,
  caller: Caller,
  id: string,
  change: OwnerChange,
  version: number | '*' | null,
): Promise<OwnerRecord> {
  return context.store.write(async ({ records, sql }) => {
    const before = await ownOwner(records, caller, id);
    requireVersion(version, before.version);
    const email = change.email ?? before.email;
    const carIds = await lockCarsOfOwner(sql, id);
    requireHeld(
      await changeOwnerRow(records, before, {
        name: change.name ?? before.name,
        email,
        addressHash: addressHashOf(email),
        phone: change.phone === undefined ? before.phone : change.phone,
        timeZone: change.timeZone ?? before.timeZone,
        language: change.language ?? before.language,
        refusesCalls: change.refusesCalls ?? before.refusesCalls,
        postalAddress:
          change.postalAddress === undefined ? before.postalAddress : change.postalAddress,
        postcode: change.postcode === undefined ? before.postcode : change.postcode,
      }),
    );
    if (email !== before.email)
      await cancelAllTo(sql, id, context.now(), 'the address was changed');
    await reconsiderCars(sql, carIds, context.now());
    if (email !== before.email) await rewriteVisitLetters(context, sql, id, context.now());
    return ownerRecordOf(await ownOwner(records, caller, id));
  });
}
