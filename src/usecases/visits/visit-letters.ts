import type { Instant } from '../../domain/calendar/instant.ts';
import { addHours } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { CarFacts } from '../../domain/round/car-facts.ts';
import { markIn, moveMark } from '../../domain/round/move-mark.ts';
import { WORDS_CHANGED } from '../../domain/round/why-cancelled.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { loadCarFacts } from '../../store/cars/car-facts-rows.ts';
import { placeOfVisit } from '../../store/care-days/place-rows.ts';
import { cancelLetters, storeLetters } from '../../store/letters/letter-rows.ts';
import { storeLinks } from '../../store/letters/link-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { ToldVisitRow, VisitLetterRow } from '../../store/visits/visit-letter-rows.ts';
import {
  lettersAboutVisit,
  stampVisit,
  toldVisit,
  visitLettersTo,
  visitsToBeTold,
} from '../../store/visits/visit-letter-rows.ts';
import { isOwnersDeed } from '../context/acting.ts';
import type { Context } from '../context/context.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';
import { isOwnDeed, isUnsent, newsOf, stillHolds } from './visit-news.ts';
import { writeVisitLetter } from './write-visit-letter.ts';

type Teller = Pick<Context, 'publicUrl' | 'mailDomain'>;

/**
 * Tells the owner what is new about a visit. Call it in the transaction that booked, moved, called
 * off or recorded the visit, once all else is written: unsent letters about it that do not hold any
 * more are cancelled, and the one that is owed now is written, once however often it is called.
 * Nothing is told of days gone by, to owners who cannot be reached, or by private owners to
 * themselves; and nothing at all with `tell: false`, for what owners log themselves. With `insteadOf` a
 * report that left at that instant is written anew, and says so.
 */
export async function tellOfVisit(
  context: Teller,
  sql: Sql,
  visitId: string,
  at: Instant,
  {
    tell = true,
    insteadOf = null,
  }: { readonly tell?: boolean; readonly insteadOf?: Instant | null } = {},
): Promise<void> {
  await stampVisit(sql, visitId, at);
  const visit = await toldVisit(sql, visitId);
  if (visit !== null) await bringUpToDate(context, sql, visit, at, tell, { insteadOf });
}

/**
 * Writes anew the letters about a car's visits that wait and say of moving the top what may no longer
 * be so, its reasons included. Call it in the transaction that recorded what was found or mended, after
 * `tellOfVisit`. With `all` whatever waits is written anew: what stands in every letter has changed.
 */
export async function retellVisits(
  context: Teller,
  sql: Sql,
  carId: string,
  at: Instant,
  { all = false }: { readonly all?: boolean } = {},
): Promise<void> {
  const isAmiss = ({ key, plannedAt }: VisitLetterRow) =>
    plannedAt < at && (all || markIn(key) !== '');
  for (const visitId of await visitsToBeTold(sql, carId)) {
    const visit = await toldVisit(sql, visitId);
    if (visit !== null) await bringUpToDate(context, sql, visit, at, true, { isAmiss });
  }
}

async function bringUpToDate(
  context: Teller,
  sql: Sql,
  visit: ToldVisitRow,
  at: Instant,
  tell: boolean,
  {
    isAmiss = () => false,
    insteadOf = null,
  }: {
    readonly isAmiss?: (letter: VisitLetterRow) => boolean;
    readonly insteadOf?: Instant | null;
  } = {},
): Promise<void> {
  const letters = await lettersAboutVisit(sql, visit);
  const careDay = await placeOfVisit(sql, visit.id);
  const standsSo = { ...visit, place: careDay?.place ?? null };
  const own = await ownFiguresOf(sql, visit.organisationId);
  const { cars } = await loadCarFacts(sql, [visit.carId], at);
  const car = cars[0];
  const untrue = letters.filter((letter) => isUnsent(letter) && !stillHolds(standsSo, letter));
  // What is true of the visit and not of how the top may be moved counts as never written.
  const mark = car === undefined ? '' : moveMark(car.mayMove);
  const amiss = letters.filter(
    (letter) =>
      isUnsent(letter) &&
      !untrue.includes(letter) &&
      (markIn(letter.key) !== mark || isAmiss(letter)),
  );
  const ended = await endLetters(sql, untrue, 'the visit was changed', at);
  const unsaid = await endLetters(sql, amiss, WORDS_CHANGED, at);
  const standing = letters.map((letter) => ({
    ...letter,
    state: ended.get(letter.letterId) ?? unsaid.get(letter.letterId) ?? letter.state,
  }));
  if (!tell || car === undefined || isSilent(car)) return;
  const { reportDays } = figuresFor('standing', own);
  const byOwner = isOwnersDeed();
  const telling = { today: dayIn(car.timeZone, at), reportDays, byOwner };
  const news =
    insteadOf === null
      ? newsOf(standsSo, standing, telling)
      : newsOf(standsSo, [], { ...telling, reportDays: ANY_AGE_DAYS });
  if (news === null) return;
  const isOwn = isOwnDeed(news, standing, byOwner);
  const written = await writeVisitLetter(
    context,
    sql,
    car,
    { visit, careDay, news, letters, isOwn, insteadOf },
    at,
  );
  const stored = await storeLetters(sql, [written]);
  if (stored.size > 0) await storeLinks(sql, written.links);
}

/**
 * Cancels letters, and says what came of each: one that could not be cancelled any more has left.
 */
async function endLetters(
  sql: Sql,
  letters: readonly VisitLetterRow[],
  why: string,
  at: Instant,
): Promise<Map<string, 'cancelled' | 'unknown'>> {
  const ids = [...new Set(letters.map(({ letterId }) => letterId))];
  const gone = new Set(await cancelLetters(sql, ids, why, at));
  return new Map(ids.map((id) => [id, gone.has(id) ? 'cancelled' : 'unknown']));
}

/** Nobody reads these: a private owner knows what was done, others cannot be reached. */
function isSilent({ organisation, owner }: CarFacts): boolean {
  return organisation.kind === 'private' || owner.unreachable;
}

// A report in which something was wrong is put right however old it is.
const ANY_AGE_DAYS = 36_500;

// A letter about a visit that has been lost for longer is not worth writing anew.
const REWRITE_DAYS = 60;

const REWRITE_REASONS = [
  'the address was changed',
  'the language was changed',
  'the name was changed',
] as const;

/** Why a letter about a visit is cancelled to be written anew. */
export type RewriteReason = (typeof REWRITE_REASONS)[number];

function isToBeRewritten(why: string | null): boolean {
  return REWRITE_REASONS.some((one) => one === why) || why?.startsWith('the address') === true;
}

/**
 * Writes anew what an owner was to be told about visits and was not, because the address was wrong, or
 * what waited under another language or name: call it in the transaction that corrected that or the
 * standing of the address. With `lostBy`, what was lost of one car's visits for that reason.
 */
export async function rewriteVisitLetters(
  context: Teller,
  sql: Sql,
  ownerId: string,
  at: Instant,
  lostBy?: { readonly carId: string; readonly why: string },
): Promise<void> {
  const isMeant = (why: string | null) =>
    lostBy === undefined ? isToBeRewritten(why) : why === lostBy.why;
  const last = new Map<string, boolean>();
  for (const letter of await visitLettersTo(sql, ownerId, addHours(at, -REWRITE_DAYS * 24))) {
    const lost =
      letter.state === 'failed' || (letter.state === 'cancelled' && isMeant(letter.cancelledWhy));
    last.set(letter.key.split(':')[1] ?? '', lost);
  }
  const lost = [...last].flatMap(([visitId, isLost]) => (isLost ? [visitId] : []));
  for (const visitId of lost.sort()) {
    const visit = await toldVisit(sql, visitId);
    if (visit === null || (lostBy !== undefined && visit.carId !== lostBy.carId)) continue;
    await bringUpToDate(context, sql, visit, at, true);
  }
}

/**
 * Cancels the unsent letters about a visit that came to its end in another way, or of which they say
 * what is no longer so. Returns the ids of the cancelled ones.
 */
export async function dropVisitLetters(
  sql: Sql,
  visit: { readonly id: string; readonly carId: string },
  at: Instant,
  why: string,
): Promise<string[]> {
  const letters = await lettersAboutVisit(sql, visit);
  const unsent = letters.filter(isUnsent).map(({ letterId }) => letterId);
  return cancelLetters(sql, [...new Set(unsent)], why, at);
}
