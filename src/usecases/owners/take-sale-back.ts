import type { Instant } from '../../domain/calendar/instant.ts';
import { Refused } from '../../domain/refusal.ts';
import { holdCars } from '../../store/database/car-lock.ts';
import { changeCarRow } from '../../store/cars/car-rows.ts';
import type { Records } from '../../store/database/store.ts';
import type { Sql } from '../../store/database/sql.ts';
import { findOwner } from '../../store/owners/owner-rows.ts';
import { handoversOf } from '../../store/trail/trail-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireHeld, requireVersion } from '../context/version.ts';
import type { CarRecord } from '../own/car-records.ts';
import { ownCar } from '../own/car-records.ts';
import { clubLettersLost } from '../../store/club/club-letter-rows.ts';
import { rewriteClubLetters } from '../club/send-club-letter.ts';
import { ANOTHER_OWNER, carChangedHands } from './changed-hands.ts';
import { rewriteVisitLetters } from '../visits/visit-letters.ts';

/** The last time that a car was given to another owner. */
export interface LastSale {
  readonly at: Instant;
  readonly seller: { readonly id: string; readonly name: string };
}

/** The sale that can be taken back: the one by which the car has its owner; null where there is none. */
export async function lastSale(
  { store }: Context,
  caller: Caller,
  car: Pick<CarRecord, 'id' | 'ownerId'>,
): Promise<LastSale | null> {
  const found = await saleOf(store, caller.organisationId, car);
  return found && { at: found.at, seller: found.seller };
}

/**
 * Takes the last sale of a car back, as if it had not been: the owner before has it again, with what was
 * recorded in their time, and hears what they were to be told of its visits and were not. What waited
 * for the buyer about this car is not sent. The buyer stays on record.
 */
export async function takeSaleBack(
  context: Context,
  caller: Caller,
  carId: string,
  version: number | '*' | null,
): Promise<void> {
  const now = context.now();
  await context.store.write(async (tx) => {
    const { records, sql } = tx;
    const sold = await saleOf(tx, caller.organisationId, await ownCar(records, caller, carId));
    await holdCars(sql, [carId], sold === null ? [] : [sold.seller.id]);
    const car = await ownCar(records, caller, carId);
    requireVersion(version, car.version);
    const sale = await saleOf(tx, caller.organisationId, car);
    if (sale === null) {
      const detail = 'No sale of this car can be taken back: its owner before is not on record.';
      throw new Refused({ kind: 'conflict', detail });
    }
    const { seller, since, timeZone = car.timeZone } = sale;
    requireHeld(
      await changeCarRow(records, car, { ownerId: seller.id, ownerSince: since, timeZone }),
    );
    const lost = await clubLettersLost(sql, { ownerId: seller.id, carId, why: ANOTHER_OWNER });
    const hands = { id: carId, from: car.ownerId, to: seller.id };
    await carChangedHands(context, caller, tx, hands, now);
    await rewriteVisitLetters(context, sql, seller.id, now, { carId, why: ANOTHER_OWNER });
    await rewriteClubLetters(context, sql, caller, { ownerId: seller.id, letters: lost });
  });
}

interface Sale extends LastSale {
  /** Since when the seller had had the car; null where they were its first owner on record. */
  readonly since: Instant | null;
  readonly timeZone: string | undefined;
}

async function saleOf(
  { records, sql }: { readonly records: Records; readonly sql: Sql },
  organisationId: string,
  { id, ownerId }: Pick<CarRecord, 'id' | 'ownerId'>,
): Promise<Sale | null> {
  const handovers = (await handoversOf(sql, organisationId, id)).map(({ at, was, becomes }) => ({
    at,
    was: namesIn(was),
    becomes: namesIn(becomes),
  }));
  const [last, ...earlier] = handovers;
  const sellerId = last?.was['ownerId'];
  if (last === undefined || sellerId === undefined || last.becomes['ownerId'] !== ownerId)
    return null;
  const seller = await findOwner(records, organisationId, sellerId);
  if (seller === null) return null;
  const bought = earlier.find(({ becomes }) => becomes['ownerId'] === sellerId);
  return {
    at: last.at,
    seller: { id: seller.id, name: seller.name },
    since: bought?.at ?? null,
    timeZone: last.was['timeZone'],
  };
}

function namesIn(json: string | null): Partial<Record<string, string>> {
  return json === null ? {} : (JSON.parse(json) as Partial<Record<string, string>>);
}
