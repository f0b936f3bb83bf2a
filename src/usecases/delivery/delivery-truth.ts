import type { Instant } from '../../domain/calendar/instant.ts';
import { addHours, addMinutes } from '../../domain/calendar/instant.ts';
import { nextWithinHours } from '../../domain/calendar/zone.ts';
import type { DeliveryFigures } from '../../domain/letters/delivery-figures.ts';
import { isFoldedAlarm } from '../../domain/round/letter-kind.ts';
import { untrueAmong } from '../../domain/round/untrue.ts';
import type { LoadedFacts } from '../../store/cars/car-facts-rows.ts';
import { loadCarFacts } from '../../store/cars/car-facts-rows.ts';
import type { ClaimedRow, LetterOrganisation } from '../../store/letters/delivery-rows.ts';
import {
  carsAbout,
  organisationsOf,
  putBack,
  settleLetter,
  whyUnwelcome,
} from '../../store/letters/delivery-rows.ts';
import type { LetterBody } from '../../store/letters/letter-rows.ts';
import { cancelLetters } from '../../store/letters/letter-rows.ts';
import { lookAgain } from '../../store/cars/look-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { cancelUntrue } from '../round/cancel-untrue.ts';
import { heldForGood, isResend } from './delivery-settlement.ts';

/** A claimed letter with the organisation that it leaves from. */
export interface Sayable {
  readonly letter: ClaimedRow;
  readonly organisation: LetterOrganisation;
}

/** One that may leave, with what it says; null where the database has lost that. */
export interface Dispatch extends Sayable {
  readonly body: LetterBody | null;
}

export interface Sorted {
  /** True and within the hours. */
  readonly sayable: Sayable[];
  /** To be put off until the hours begin. */
  readonly early: { readonly letter: ClaimedRow; readonly until: Instant }[];
  /** Untrue or out of date by the look of it. */
  readonly doubtful: ClaimedRow[];
  /** Of which nobody can tell, and why. */
  readonly unclear: { readonly letter: ClaimedRow; readonly why: string }[];
}

/** The first instant, this or a later one, at which the letter may leave by the owner's clock. */
export function openingFor({ letter, organisation }: Sayable, at: Instant): Instant {
  if (isFoldedAlarm(letter.kind) && organisation.nightAlarms) return at;
  return nextWithinHours(organisation.ownerZone, at, ...organisation.letterHours);
}

/**
 * Sorts letters that were claimed in this transaction. It locks no cars: whoever records something
 * about one meanwhile waits for these letters before cancelling them, and so comes after. Where a
 * record cannot be read, the letters are looked at one by one, and only its own stay unclear.
 */
export async function sortOut(
  sql: Sql,
  letters: readonly ClaimedRow[],
  at: Instant,
  figures: DeliveryFigures,
): Promise<Sorted> {
  try {
    return await sortTogether(sql, letters, at, figures);
  } catch {
    const sorted: Sorted = { sayable: [], early: [], doubtful: [], unclear: [] };
    for (const letter of letters) {
      try {
        const { sayable, early, doubtful } = await sortTogether(sql, [letter], at, figures);
        sorted.sayable.push(...sayable);
        sorted.early.push(...early);
        sorted.doubtful.push(...doubtful);
      } catch (fault) {
        // A fault of the database is no fault of the letter: it also meets the next statement.
        sorted.unclear.push({ letter, why: wordsOf(fault) });
      }
    }
    return sorted;
  }
}

/** Why a record could not be read, short enough to be shown. */
export function wordsOf(fault: unknown): string {
  return (fault instanceof Error ? fault.message : String(fault)).slice(0, 200);
}

async function sortTogether(
  sql: Sql,
  letters: readonly ClaimedRow[],
  at: Instant,
  figures: DeliveryFigures,
): Promise<Sorted> {
  const sorted: Sorted = { sayable: [], early: [], doubtful: [], unclear: [] };
  if (letters.length === 0) return sorted;
  const ids = letters.map(({ id }) => id);
  const organisations = await organisationsOf(sql, ids);
  const carIds = [...new Set((await carsAbout(sql, ids)).map(({ carId }) => carId))];
  const untrue = untrueOf(new Set(ids), await loadCarFacts(sql, carIds, at, false), at);
  for (const letter of letters) {
    const organisation = organisations.get(letter.id);
    if (organisation === undefined || untrue.has(letter.id) || isOutOfDate(letter, at, figures)) {
      sorted.doubtful.push(letter);
      continue;
    }
    const until = openingFor({ letter, organisation }, at);
    if (until > at) sorted.early.push({ letter, until });
    else sorted.sayable.push({ letter, organisation });
  }
  return sorted;
}

/**
 * Decides about doubtful letters for good, in a transaction of its own, with the cars locked before
 * any letter is, as in every deed that cancels letters. What is untrue, unwelcome or out of date is
 * cancelled; what may have gone out once already is kept for a person instead of being sent again.
 * Returns how many were cancelled.
 */
export async function weedOut(
  sql: Sql,
  letters: readonly ClaimedRow[],
  at: Instant,
  figures: DeliveryFigures,
): Promise<number> {
  const about = await carsAbout(
    sql,
    letters.map(({ id }) => id),
  );
  const facts = await loadCarFacts(sql, [...new Set(about.map(({ carId }) => carId))], at);
  const gone = new Set(await cancelUntrue(sql, facts.cars, facts.told, at));
  const untrue = untrueOf(new Set(letters.map(({ id }) => id)), facts, at);
  const unwelcome = await whyUnwelcome(sql, letters);
  for (const letter of letters) {
    if (gone.has(letter.id)) continue;
    const why =
      unwelcome.get(letter.id) ??
      (untrue.has(letter.id) ? 'no longer true' : null) ??
      (isOutOfDate(letter, at, figures) ? 'out of date' : null);
    // True after all: something was recorded between the two looks. It waits for the next run.
    if (why === null) await putBack(sql, letter, addMinutes(at, figures.settingsMinutes));
    else if (isResend(letter)) await settleLetter(sql, letter, at, heldForGood(letter, why, at));
    else for (const id of await cancelLetters(sql, [letter.id], why, at)) gone.add(id);
  }
  const withdrawn = [...about, ...facts.told].filter(({ letterId }) => gone.has(letterId));
  const carIds = new Set(withdrawn.flatMap(({ carId }) => (carId === null ? [] : [carId])));
  // What is still true of these cars is written afresh by the next round.
  await lookAgain(sql, [...carIds]);
  return gone.size;
}

/** Advice and offers have their season; letters about work in hand stay of use, however late. */
function isOutOfDate(letter: ClaimedRow, at: Instant, figures: DeliveryFigures): boolean {
  return (
    (letter.kind === 'care-note' || letter.kind === 'visit-offered') &&
    at > addHours(letter.messageDate, figures.adviceDays * 24)
  );
}

/** Of these letters, those of which a part is not true or not welcome any more. */
function untrueOf(
  letterIds: ReadonlySet<string>,
  { cars, told }: LoadedFacts,
  at: Instant,
): Set<string> {
  const ours = told.filter(({ letterId }) => letterIds.has(letterId));
  return new Set(untrueAmong(cars, ours, at).map(({ letterId }) => letterId));
}
