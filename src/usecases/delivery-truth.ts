import type { Instant } from '../domain/calendar/instant.ts';
import { addHours } from '../domain/calendar/instant.ts';
import { nextWithinHours } from '../domain/calendar/zone.ts';
import type { CarFacts } from '../domain/round/car-facts.ts';
import type { DeliveryFigures } from '../domain/round/delivery-figures.ts';
import { isAlarm, topicOf } from '../domain/round/letter-kind.ts';
import { LOOK_NOW } from '../domain/round/next-look.ts';
import { occasionsOwed } from '../domain/round/occasions.ts';
import type { Spoken } from '../store/car-facts-rows.ts';
import { loadCarFacts } from '../store/car-facts-rows.ts';
import type { ClaimedRow, LetterHouse } from '../store/delivery-rows.ts';
import { carsAbout, housesOf, putBack, settleLetter } from '../store/delivery-rows.ts';
import { cancelLetters } from '../store/letter-rows.ts';
import { storeLooks } from '../store/look-rows.ts';
import type { Store } from '../store/store.ts';
import { cancelUntrue } from './cancel-untrue.ts';
import { heldForGood, isResend } from './delivery-settlement.ts';

/** A claimed letter with the house that it leaves from. */
export interface Leaving {
  readonly letter: ClaimedRow;
  readonly house: LetterHouse;
}

/** The first instant, this or a later one, at which the letter may leave by the owner's clock. */
export function openingFor({ letter, house }: Leaving, at: Instant): Instant {
  if (isAlarm(letter.kind) && house.nightAlarms) return at;
  return nextWithinHours(house.ownerZone, at, ...house.letterHours);
}

/**
 * Of claimed letters, those that may leave now: still true, in time and within the hours. What is
 * no longer true or out of date is cancelled, what is early is put off, and what may have gone out
 * once already is kept for a person rather than sent again without being true.
 */
export async function sayableNow(
  store: Store,
  letters: readonly ClaimedRow[],
  at: Instant,
  figures: DeliveryFigures,
): Promise<{ leaving: Leaving[]; cancelled: number }> {
  if (letters.length === 0) return { leaving: [], cancelled: 0 };
  return store.writeSql(async (sql) => {
    const ids = letters.map(({ id }) => id);
    const houses = await housesOf(sql, ids);
    const about = await carsAbout(sql, ids);
    const carIds = [...new Set(about.map(({ carId }) => carId))];
    // The cars are locked before any letter is, here as in every deed that cancels letters.
    const { cars, spoken } = await loadCarFacts(sql, carIds, at);
    const cancelled = await cancelUntrue(sql, cars, spoken, at);
    const old = letters.filter((letter) => isOutOfDate(letter, at, figures)).map(({ id }) => id);
    cancelled.push(...(await cancelLetters(sql, old, 'out of date', at)));
    const gone = new Set(cancelled);
    await storeLooks(
      sql,
      carsOf(gone, about, spoken).map((id) => ({ id, lookAt: LOOK_NOW })),
    );
    const untrue = untrueResends(letters, cars, spoken, at);
    const leaving: Leaving[] = [];
    for (const letter of letters) {
      const house = houses.get(letter.id);
      if (house === undefined || gone.has(letter.id)) continue;
      const opening = openingFor({ letter, house }, at);
      if (untrue.has(letter.id) || (isResend(letter) && isOutOfDate(letter, at, figures))) {
        await settleLetter(sql, letter, at, heldForGood(letter, 'it is no longer true'));
      } else if (opening > at) await putBack(sql, letter, opening);
      else leaving.push({ letter, house });
    }
    return { leaving, cancelled: gone.size };
  });
}

/** Advice and offers have their season; letters about work in hand stay of use, however late. */
function isOutOfDate(letter: ClaimedRow, at: Instant, figures: DeliveryFigures): boolean {
  return (
    (letter.kind === 'care-note' || letter.kind === 'visit-offered') &&
    at > addHours(letter.messageDate, figures.adviceDays * 24)
  );
}

/** What is still true of the cars of cancelled letters is written afresh by the next round. */
function carsOf(
  gone: ReadonlySet<string>,
  about: readonly { letterId: string; carId: string }[],
  spoken: readonly Spoken[],
): string[] {
  const said = [...about, ...spoken].filter(({ letterId }) => gone.has(letterId));
  return [...new Set(said.flatMap(({ carId }) => (carId === null ? [] : [carId])))];
}

/** Letters that may have gone out cannot be cancelled; these are the ones not to send once more. */
function untrueResends(
  letters: readonly ClaimedRow[],
  cars: readonly CarFacts[],
  spoken: readonly Spoken[],
  at: Instant,
): Set<string> {
  const resends = new Set(letters.filter(isResend).map(({ id }) => id));
  if (resends.size === 0) return resends;
  const owed = new Set(cars.flatMap((car) => occasionsOwed(car, at)).map(({ key }) => key));
  const byCar = new Map(cars.map((car) => [car.id, car]));
  const untrue = spoken.filter((said) => {
    const car = byCar.get(said.carId ?? '');
    if (!resends.has(said.letterId) || car === undefined) return false;
    const topic = topicOf(said.kind);
    if (car.owner.unreachable || (topic !== null && car.owner.refusedTopics.includes(topic))) {
      return true;
    }
    const timeless = said.kind === 'care-note' || said.kind.startsWith('visit-');
    return !timeless && !owed.has(said.key);
  });
  return new Set(untrue.map(({ letterId }) => letterId));
}
