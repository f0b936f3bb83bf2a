import type { Instant } from '../../domain/calendar/instant.ts';
import type { Writing } from '../../store/database/store.ts';
import { carsOfLetters, openLettersOfCar } from '../../store/letters/occasion-rows.ts';
import { cancelLetters } from '../../store/letters/letter-rows.ts';
import { visitsOfCarAhead } from '../../store/visits/visit-rows.ts';
import type { Context } from '../context/context.ts';
import { reconsiderCars } from '../round/cancel-untrue.ts';
import { tellOfVisit } from './visit-letters.ts';

/**
 * Call it in the transaction that gave a car to another owner: what waited for the former one about
 * this car is not sent any more, and the new one is told of the booked visits of which nobody was told
 * yet.
 */
export async function carChangedHands(
  context: Context,
  { records, sql }: Writing,
  carId: string,
  now: Instant,
): Promise<void> {
  const open = await openLettersOfCar(sql, carId);
  const gone = await cancelLetters(sql, open, 'the car has another owner', now);
  // What such a letter said of the old owner's other cars is written anew without this one.
  await reconsiderCars(sql, [...new Set([...(await carsOfLetters(sql, gone)), carId])], now);
  for (const visitId of await visitsOfCarAhead(records, carId)) {
    await tellOfVisit(context, sql, visitId, now);
  }
}
