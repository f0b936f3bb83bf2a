import { clubLettersWaiting } from '../../store/club/club-letter-rows.ts';
import type { OwnerRow } from '../../store/owners/owner-rows.ts';
import { changeOwnerRow } from '../../store/owners/owner-rows.ts';
import { lockCarsOfOwner } from '../../store/cars/owner-page-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { rewriteClubLetters } from '../club/send-club-letter.ts';
import { cancelAllTo, reconsiderCars } from '../round/cancel-untrue.ts';
import type { OwnerRecord } from '../own/owner-records.ts';
import { ownerRecordOf, ownOwner } from '../own/owner-records.ts';
import { addressHashOf } from '../context/secret.ts';
import { requireHeld, requireVersion } from '../context/version.ts';
import type { RewriteReason } from '../visits/visit-letters.ts';
import { rewriteVisitLetters } from '../visits/visit-letters.ts';
import { carryConsent } from './carry-consent.ts';

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
 * Changes an owner. Letters that wait are cancelled and written anew where address, language or name have
 * changed: to the right address, in the right words. What was refused or agreed to goes along.
 */
export async function changeOwner(
  context: Context,
  caller: Caller,
  id: string,
  change: OwnerChange,
  version: number | '*' | null,
): Promise<OwnerRecord> {
  return context.store.write(async ({ records, sql }) => {
    const now = context.now();
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
    const after = await ownOwner(records, caller, id);
    const why = whyRewritten(before, after);
    if (after.addressHash !== before.addressHash) {
      await carryConsent(sql, after, { from: before.addressHash, to: after.addressHash }, now);
    }
    const club = why === null ? [] : await clubLettersWaiting(sql, id);
    if (why !== null) await cancelAllTo(sql, id, now, why);
    await reconsiderCars(sql, carIds, now);
    if (why !== null) {
      await rewriteVisitLetters(context, sql, id, now);
      await rewriteClubLetters(context, sql, caller, { ownerId: id, letters: club });
    }
    return ownerRecordOf(after);
  });
}

/** Why what waits for an owner is written anew; null where it may leave as it is. */
function whyRewritten(before: OwnerRow, after: OwnerRow): RewriteReason | null {
  if (after.email !== before.email) return 'the address was changed';
  if (after.language !== before.language) return 'the language was changed';
  return after.name === before.name ? null : 'the name was changed';
}
