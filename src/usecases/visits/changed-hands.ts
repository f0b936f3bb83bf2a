import type { Instant } from '../../domain/calendar/instant.ts';
import type { Writing } from '../../store/database/store.ts';
import {
  carsOfLetters,
  handOverOccasions,
  openLettersOfCar,
} from '../../store/letters/occasion-rows.ts';
import { cancelLetters } from '../../store/letters/letter-rows.ts';
import { visitsOfCarAhead } from '../../store/visits/visit-rows.ts';
import type { Context } from '../context/context.ts';
import { reconsiderCars } from '../round/cancel-untrue.ts';
import { tellOfVisit } from './visit-letters.ts';

/** Why what waited for an owner is not sent once the car is another's. */
export const ANOTHER_OWNER = 'the car has another owner';

/**
 * Call it in the transaction that gave a car to another owner: what waited for the former one about
 * this car is not sent any more, and the new one is told what is true of it now: by the next round, and
 * at once of the visits that are booked.
 */
export async function carChangedHands(
  context: Context,
  { records, sql }: Writing,
  { id: carId, ownerId }: { readonly id: string; readonly ownerId: string },
  now: Instant,
): Promise<void> {
  const open = await openLettersOfCar(sql, carId);
  const gone = await cancelLetters(sql, open, ANOTHER_OWNER, now);
  await handOverOccasions(sql, carId, ownerId);
  // What such a letter said of the old owner's other cars is written anew without this one.
  await reconsiderCars(sql, [...new Set([...(await carsOfLetters(sql, gone)), carId])], now);
  for (const visitId of await visitsOfCarAhead(records, carId)) {
    await tellOfVisit(context, sql, visitId, now);
  }
}
