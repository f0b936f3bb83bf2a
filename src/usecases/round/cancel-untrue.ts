import { unsentLettersTo } from '../../store/letters/letter-lists.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { CarFacts } from '../../domain/round/car-facts.ts';
import { markIn } from '../../domain/round/move-mark.ts';
import { isOpen } from '../../domain/round/told.ts';
import { WORDS_CHANGED, WORK_CHANGED } from '../../domain/round/why-cancelled.ts';
import { untrueAmong } from '../../domain/round/untrue.ts';
import { loadCarFacts } from '../../store/cars/car-facts-rows.ts';
import { holdCars } from '../../store/database/car-lock.ts';
import type { Told } from '../../domain/round/told.ts';
import { cancelLetters, openLettersAbout } from '../../store/letters/letter-rows.ts';
import {
  carsOfLetters,
  rewritableOccasions,
  unsentLettersOf,
} from '../../store/letters/occasion-rows.ts';
import { lookAgain } from '../../store/cars/look-rows.ts';
import type { Sql } from '../../store/database/sql.ts';

/** What a waiting letter says of a car, as far as its key tells. */
type Telling = Pick<Told, 'kind' | 'key'>;

/**
 * Call it in the transaction that changed something about cars: letters that became untrue are
 * cancelled in it, and the cars are looked at again by the next round. A letter may stay true and tell
 * what is no longer so, such as a limit or a reason: `tells` says of which occasions the change may have
 * altered the words, and what waits with one of them is cancelled too, for the round to write it anew.
 */
export async function reconsiderCars(
  sql: Sql,
  carIds: readonly string[],
  at: Instant,
  tells?: (one: Telling) => boolean,
): Promise<string[]> {
  await holdCars(sql, carIds);
  await lookAgain(sql, carIds);
  if ((await openLettersAbout(sql, carIds)) === 0) return [];
  const { cars, told } = await loadCarFacts(sql, carIds, at);
  const gone = await cancelUntrue(sql, cars, told, at);
  if (tells === undefined) return gone;
  return [...gone, ...(await cancelTelling(sql, carIds, at, tells))];
}

async function cancelTelling(
  sql: Sql,
  carIds: readonly string[],
  at: Instant,
  tells: (one: Telling) => boolean,
): Promise<string[]> {
  const telling = (await rewritableOccasions(sql, carIds)).filter(tells);
  const ids = [...new Set(telling.map(({ letterId }) => letterId))];
  const gone = await cancelLetters(sql, ids, WORDS_CHANGED, at);
  const looks = await carsOfLetters(sql, gone);
  await lookAgain(sql, looks);
  return gone;
}

/** Whether the words depend on what was found: they say of a top that it must stay, or how to move it. */
export function tellsOfMoving({ key }: Telling): boolean {
  return markIn(key) !== '';
}

/**
 * The same, where what is advised or declined on these cars has changed: unsent letters that list
 * such work are cancelled with it, for the next round to write them anew.
 */
export async function reconsiderWork(
  sql: Sql,
  carIds: readonly string[],
  at: Instant,
): Promise<string[]> {
  const gone = await reconsiderCars(sql, carIds, at, tellsOfMoving);
  const unsent = await unsentLettersOf(sql, 'warranty-ending', carIds);
  const cancelled = await cancelLetters(sql, unsent, WORK_CHANGED, at);
  const looks = await carsOfLetters(sql, cancelled);
  await lookAgain(sql, looks);
  return [...gone, ...cancelled];
}

/**
 * Cancels the unsent letters about these cars that are not true any more, or not welcome any more.
 * A letter about several cars goes as a whole; what is still true of the others is written afresh by
 * the next round, which is why those cars are put back on its list.
 */
export async function cancelUntrue(
  sql: Sql,
  cars: readonly CarFacts[],
  told: readonly Told[],
  at: Instant,
): Promise<string[]> {
  const open = told.filter((one) => isOpen(one));
  if (open.length === 0) return [];
  const untrue = untrueAmong(cars, open, at);
  if (untrue.length === 0) return [];
  const ids = [...new Set(untrue.map((one) => one.letterId))];
  const cancelled = await cancelLetters(sql, ids, 'no longer true', at);
  const judged = new Set(cars.map(({ id }) => id));
  const others = open.filter(
    (one) => cancelled.includes(one.letterId) && one.carId !== null && !judged.has(one.carId),
  );
  await lookAgain(
    sql,
    others.flatMap(({ carId }) => (carId === null ? [] : [carId])),
  );
  return cancelled;
}

/** Cancels every unsent letter to an owner: the address was changed, refused or erased. */
export async function cancelAllTo(
  sql: Sql,
  ownerId: string,
  at: Instant,
  why: string,
): Promise<string[]> {
  return cancelLetters(sql, await unsentLettersTo(sql, ownerId), why, at);
}
