import { lockCarsOfOwner } from '../store/owner-page-rows.ts';
import type { Caller, Deed } from './deed.ts';
import { cancelAllTo, reconsiderCars } from './cancel-untrue.ts';
import type { OwnerRecord } from './owner-records.ts';
import { ownerRecordOf, ownOwner } from './owner-records.ts';
import { addressHashOf } from './secret.ts';
import { requireHeld, requireVersion } from './version.ts';
import { rewriteVisitLetters } from './visit-letters.ts';

export interface OwnerChange {
  readonly name?: string | undefined;
  readonly email?: string | undefined;
  readonly phone?: string | null | undefined;
  readonly timeZone?: string | undefined;
  readonly language?: string | undefined;
  readonly refusesCalls?: boolean | undefined;
}

/**
 * Changes an owner. Letters that wait for an address that is no longer the owner's are cancelled and
 * written anew to the right one.
 */
export async function changeOwner(
  deed: Deed,
  caller: Caller,
  id: string,
  change: OwnerChange,
  version: number | '*' | null,
): Promise<OwnerRecord> {
  return deed.store.write(async ({ records, sql }) => {
    const before = await ownOwner(records, caller, id);
    requireVersion(version, before.version);
    const email = change.email ?? before.email;
    const carIds = await lockCarsOfOwner(sql, id);
    requireHeld(
      await records.owner.updateMany({
        where: { id, version: before.version },
        data: {
          name: change.name ?? before.name,
          email,
          addressHash: addressHashOf(email),
          phone: change.phone === undefined ? before.phone : change.phone,
          timeZone: change.timeZone ?? before.timeZone,
          language: change.language ?? before.language,
          refusesCalls: change.refusesCalls ?? before.refusesCalls,
          version: before.version + 1,
        },
      }),
    );
    if (email !== before.email) await cancelAllTo(sql, id, deed.now(), 'the address was changed');
    await reconsiderCars(sql, carIds, deed.now());
    if (email !== before.email) await rewriteVisitLetters(deed, sql, id, deed.now());
    return ownerRecordOf(await ownOwner(records, caller, id));
  });
}
