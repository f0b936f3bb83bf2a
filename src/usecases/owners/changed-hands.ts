import type { Instant } from '../../domain/calendar/instant.ts';
import type { Writing } from '../../store/database/store.ts';
import {
  carsOfLetters,
  handOverOccasions,
  openLettersOfCar,
} from '../../store/letters/occasion-rows.ts';
import { cancelLetters } from '../../store/letters/letter-rows.ts';
import { visitsOfCarAhead } from '../../store/visits/visit-rows.ts';
import { clubLettersWaiting } from '../../store/club/club-letter-rows.ts';
import { rewriteClubLetters } from '../club/send-club-letter.ts';
import type { Caller, Context } from '../context/context.ts';
import { reconsiderCars } from '../round/cancel-untrue.ts';
import { tellOfVisit } from '../visits/visit-letters.ts';

/** Why what waited for an owner is not sent once the car is another's. */
export const ANOTHER_OWNER = 'the car has another owner';

/**
 * Call it in the transaction that gave a car to another owner: what waited for the former one about
 * this car is not sent any more, and the new one is told what is true of it now: by the next round, and
 * at once of the visits that are booked. A letter of the club about several cars of the former one is
 * written anew about those that are left.
 */
export async function carChangedHands(
  context: Context,
  caller: Caller,
  { records, sql }: Writing,
  { id: carId, from, to }: { readonly id: string; readonly from: string; readonly to: string },
  now: Instant,
): Promise<void> {
  const club = await clubLettersWaiting(sql, from);
  const open = await openLettersOfCar(sql, carId);
  const gone = await cancelLetters(sql, open, ANOTHER_OWNER, now);
  await handOverOccasions(sql, carId, to);
  // What such a letter said of the old owner's other cars is written anew without this one.
  await reconsiderCars(sql, [...new Set([...(await carsOfLetters(sql, gone)), carId])], now);
  await rewriteClubLetters(context, sql, caller, { ownerId: from, letters: club });
  for (const visitId of await visitsOfCarAhead(records, carId)) {
    await tellOfVisit(context, sql, visitId, now);
  }
}
