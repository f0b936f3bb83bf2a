import { addCarIn, type NewCar } from '../cars/add-car.ts';
import { addOwnerIn, type NewOwner } from '../owners/add-owner.ts';
import type { Caller, Context } from '../context/context.ts';
import { fitTopIn, type NewTop } from '../tops/fit-top.ts';
import { showOrganisation } from '../organisations/organisations.ts';

export interface NewCare {
  /** A new owner, or the id of one who is known. */
  readonly owner: NewOwner | string;
  readonly car: Omit<NewCar, 'ownerId'>;
  readonly top: Omit<NewTop, 'carId'>;
}

/**
 * Takes a car into care: its owner, the car and its top, all of them or none. Each is refused as it
 * would be by itself, and the car where anybody's of its registration is in care.
 */
export async function takeIntoCare(
  context: Context,
  caller: Caller,
  { owner, car, top }: NewCare,
): Promise<{ readonly carId: string; readonly topId: string }> {
  const organisation = await showOrganisation(context, caller);
  const now = context.now();
  return context.store.write(async (tx) => {
    const { records } = tx;
    const ownerId =
      typeof owner === 'string' ? owner : (await addOwnerIn(records, organisation, owner, now)).id;
    const { id: carId } = await addCarIn(tx, caller, { ...car, ownerId }, now, 'all');
    return { carId, topId: await fitTopIn(tx, context, caller, { ...top, carId }, now) };
  });
}
