import { holdCars } from '../../store/database/car-lock.ts';
import { changeCarRow } from '../../store/cars/car-rows.ts';
import { holdOwner } from '../../store/owners/owner-rows.ts';
import { ownersThere } from '../../store/records/import-rows.ts';
import { refuseKnownCar } from '../own/known-car.ts';
import type { Caller, Context } from '../context/context.ts';
import { addressHashOf } from '../context/secret.ts';
import { requireHeld, requireVersion } from '../context/version.ts';
import { showOrganisation } from '../organisations/organisations.ts';
import { ownCar } from '../own/car-records.ts';
import { carChangedHands } from './changed-hands.ts';
import type { NewOwner } from './add-owner.ts';
import { addOwnerIn } from './add-owner.ts';

/**
 * Gives a car to another owner: one who is known by the address, or a new one. What waited for the
 * old owner about this car is not sent any more. Visits that are booked stand, and the new owner is
 * told of them. The car's history stays with the car.
 * Refused where the buyer has a car of its registration already, unless it is said to be another one.
 */
export async function sellCar(
  context: Context,
  caller: Caller,
  carId: string,
  { another = false, ...buyer }: NewOwner & { readonly another?: boolean | undefined },
  version: number | '*' | null,
): Promise<{ readonly ownerId: string }> {
  const organisation = await showOrganisation(context, caller);
  const now = context.now();
  return context.store.write(async (tx) => {
    const { records, sql } = tx;
    const { organisationId } = caller;
    const [known] = await ownersThere(sql, organisationId, [addressHashOf(buyer.email)]);
    await holdCars(sql, [carId], known === undefined ? [] : [known.id]);
    const car = await ownCar(records, caller, carId);
    requireVersion(version, car.version);
    const owner = known ?? (await addOwnerIn(records, organisation, buyer, now));
    if (owner.id === car.ownerId) return { ownerId: owner.id };
    if (!another && known !== undefined) {
      // Of two cars that come to one owner at once, the second waits here and finds the first.
      await holdOwner(sql, owner.id);
      await refuseKnownCar(sql, organisationId, car.registration, {
        ownerId: owner.id,
        except: carId,
      });
    }
    const { timeZone } = owner;
    requireHeld(await changeCarRow(records, car, { ownerId: owner.id, ownerSince: now, timeZone }));
    const hands = { id: carId, from: car.ownerId, to: owner.id };
    await carChangedHands(context, caller, tx, hands, now);
    return { ownerId: owner.id };
  });
}
