import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { CarFacts, OwnerFacts } from '../../domain/round/car-facts.ts';
import { isAlarm } from '../../domain/round/letter-kind.ts';
import { lettersOwed } from '../../domain/round/letters-owed.ts';
import { stillHolds } from '../../domain/round/move-mark.ts';
import { nextLook } from '../../domain/round/next-look.ts';
import { adviceIn, occasionsOwed } from '../../domain/round/occasions.ts';
import type { LoadedFacts } from '../../store/cars/car-facts-rows.ts';
import { loadCarFacts } from '../../store/cars/car-facts-rows.ts';
import { cancelLetters, storeLetters } from '../../store/letters/letter-rows.ts';
import { storeLinks } from '../../store/letters/link-rows.ts';
import { carsToLookAt, dueCarsOf, storeLooks } from '../../store/cars/look-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { cancelUntrue, isOpen } from './cancel-untrue.ts';
import type { Context } from '../context/context.ts';
import type { OwnStyle } from '../organisations/own-style.ts';
import { loadOwnStyle, NO_OWN_STYLE } from '../organisations/own-style.ts';
import type { Threads } from './letter-threads.ts';
import { earlierLetters, threadsOf } from './letter-threads.ts';
import type { LetterRecord } from '../letters/read-letters.ts';
import { letterRecordOf } from '../letters/read-letters.ts';
import type { WrittenLetter } from './write-letter.ts';
import { writeLetter } from './write-letter.ts';

export interface RoundRequest {
  /** The instant that the round is held at; now, where absent. */
  readonly at?: Instant;
  /** Decide and write nothing down. */
  readonly dryRun?: boolean;
  /** Only this organisation's cars; all where absent. */
  readonly organisationId?: string;
  /**
   * Give the letters back too, as by default. Without them a round needs little memory, however many
   * letters are owed.
   */
  readonly withLetters?: boolean;
}

export interface RoundResult {
  readonly at: Instant;
  readonly dryRun: boolean;
  readonly planned: number;
  readonly cancelled: number;
  /** Empty where they were not asked for. */
  readonly letters: LetterRecord[];
  readonly cancelledIds: string[];
}

const CARS_AT_A_LOOK = 4_000;
// Each chunk is one commit: a commit waits for the disk, and nobody else can write before it.
const OWNERS_A_CHUNK = 500;
// Letters are long, so a few at a time are written, stored and let go.
const OWNERS_A_PART = 32;

/**
 * Holds the round: looks at every car whose time has come, cancels what became untrue, writes the
 * letters that are owed and have not been written, and notes when to look again. Running it twice,
 * late or on two machines gives the same letters.
 */
export async function planRound(
  context: Context,
  request: RoundRequest = {},
): Promise<RoundResult> {
  const at = request.at ?? context.now();
  const { dryRun = false, organisationId = null, withLetters = true } = request;
  let planned = 0;
  const letters: LetterRecord[] = [];
  const cancelledIds: string[] = [];
  const seen = new Set<string>();
  let ownStyle: OwnStyle = NO_OWN_STYLE;
  for (;;) {
    const limit = CARS_AT_A_LOOK + (dryRun ? seen.size : 0);
    const due = await carsToLookAt(context.store.sql, at, limit, organisationId);
    const ownerIds = [...new Set(due.map((car) => car.ownerId))].filter((id) => !seen.has(id));
    if (ownerIds.length === 0) break;
    if (seen.size === 0) ownStyle = await loadOwnStyle(context.store.sql, organisationId);
    for (const id of ownerIds) seen.add(id);
    for (let start = 0; start < ownerIds.length; start += OWNERS_A_CHUNK) {
      const chunk = ownerIds.slice(start, start + OWNERS_A_CHUNK);
      const round = { context, at, ownStyle, withLetters };
      const done = dryRun
        ? await decideDry(round, chunk)
        : await context.store.writeSql((sql) => lookAtOwners(round, sql, chunk));
      planned += done.planned;
      letters.push(...done.letters);
      cancelledIds.push(...done.cancelledIds);
    }
  }
  return {
    at,
    dryRun,
    planned,
    cancelled: cancelledIds.length,
    letters,
    cancelledIds,
  };
}

interface Round {
  readonly context: Context;
  readonly at: Instant;
  readonly ownStyle: OwnStyle;
  readonly withLetters: boolean;
}

interface Looked {
  readonly planned: number;
  readonly letters: LetterRecord[];
  readonly cancelledIds: string[];
}

async function lookAtOwners(round: Round, sql: Sql, ownerIds: readonly string[]): Promise<Looked> {
  const { at } = round;
  const facts = await factsOf(sql, ownerIds, at, true);
  const untrue = await cancelUntrue(sql, facts.cars, facts.spoken, at);
  const joined = await cancelLetters(
    sql,
    lettersToJoin(without(facts, untrue), at),
    'made way for a newer letter',
    at,
  );
  const cancelledIds = [...untrue, ...joined];
  // What was cancelled counts as never written: neither as said nor as a reason to pause.
  const standing = cancelledIds.length === 0 ? facts : await factsOf(sql, ownerIds, at, true);
  const said = keysSaid(standing);
  const threads = threadsOf(standing.spoken);
  const owners = groupByOwner(standing.cars);
  const letters: LetterRecord[] = [];
  const looks: { id: string; lookAt: Instant | null }[] = [];
  let planned = 0;
  for (let start = 0; start < owners.length; start += OWNERS_A_PART) {
    const part = owners.slice(start, start + OWNERS_A_PART);
    const fresh = await storeNew(sql, writeOwed(round, part, said, threads));
    planned += fresh.length;
    if (round.withLetters) letters.push(...fresh.map(recordOf));
    for (const car of noting(part.flat(), fresh)) {
      looks.push({ id: car.id, lookAt: nextLook(car, at) });
    }
  }
  await storeLooks(sql, looks);
  return { planned, letters, cancelledIds };
}

/** Stores letters with their links; gives back those that no other round wrote meanwhile. */
async function storeNew(sql: Sql, written: readonly WrittenLetter[]): Promise<WrittenLetter[]> {
  const stored = await storeLetters(sql, written);
  const fresh = written.filter(({ letter }) => stored.has(letter.id));
  await storeLinks(
    sql,
    fresh.flatMap(({ links }) => links),
  );
  return fresh;
}

async function decideDry(round: Round, ownerIds: readonly string[]): Promise<Looked> {
  const { at } = round;
  const facts = await factsOf(round.context.store.sql, ownerIds, at, false);
  const owed = new Set(facts.cars.flatMap((car) => occasionsOwed(car, at)).map(({ key }) => key));
  const cars = new Map(facts.cars.map((car) => [car.id, car]));
  const untrue = [
    ...new Set(
      facts.spoken
        .filter((said) => {
          const car = cars.get(said.carId ?? '');
          return car !== undefined && isOpen(said) && !stillHolds(said, car, owed);
        })
        .map((said) => said.letterId),
    ),
  ];
  const cancelledIds = [...untrue, ...lettersToJoin(without(facts, untrue), at)];
  const said = keysSaid(without(facts, cancelledIds));
  const written = writeOwed(round, groupByOwner(facts.cars), said, threadsOf(facts.spoken));
  const letters = round.withLetters ? written.map(recordOf) : [];
  return { planned: written.length, letters, cancelledIds };
}

/**
 * Unsent letters that have to make way for what the owner is about to get. Several cars share one
 * letter per kind and day, so a newer one takes over what the older one says; and care waits for a
 * day without an alarm. One that has left stays.
 */
function lettersToJoin({ cars, spoken }: LoadedFacts, at: Instant): string[] {
  const said = keysSaid({ cars, spoken });
  const open = spoken.filter((one) => isOpen(one));
  if (open.length === 0) return [];
  const ids = groupByOwner(cars).flatMap((own) => {
    const waiting = open.filter((one) => one.ownerId === own[0]?.owner.id);
    if (waiting.length === 0) return [];
    const kinds = lettersOwed(own, said, at).map(({ kind }) => kind);
    const alarm = kinds.some(isAlarm);
    return waiting
      .filter(({ kind }) => (kind === 'care-note' ? alarm : kinds.includes(kind)))
      .map((one) => one.letterId);
  });
  return [...new Set(ids)];
}

async function factsOf(
  sql: Sql,
  ownerIds: readonly string[],
  at: Instant,
  lock: boolean,
): Promise<LoadedFacts> {
  const cars = await dueCarsOf(sql, ownerIds, at);
  return loadCarFacts(
    sql,
    cars.map((car) => car.id),
    at,
    lock,
  );
}

function recordOf({ letter, occasions }: WrittenLetter): LetterRecord {
  const carIds = new Set(occasions.map(({ carId }) => carId).filter((id) => id !== null));
  return letterRecordOf(letter, [...carIds]);
}

/** A cancelled letter counts as never written, so that what is still true of it is written anew. */
function without(facts: LoadedFacts, cancelledIds: readonly string[]): LoadedFacts {
  if (cancelledIds.length === 0) return facts;
  const gone = new Set(cancelledIds);
  return { cars: facts.cars, spoken: facts.spoken.filter((said) => !gone.has(said.letterId)) };
}

function keysSaid({ spoken }: LoadedFacts): Set<string> {
  return new Set(spoken.map(({ key }) => key));
}

function writeOwed(
  { context, at, ownStyle }: Round,
  owners: readonly CarFacts[][],
  said: ReadonlySet<string>,
  threads: Threads,
): WrittenLetter[] {
  return owners.flatMap((own) =>
    lettersOwed(own, said, at).map((owed) =>
      writeLetter(context, own, owed, at, ownStyle, earlierLetters(threads, owed.occasions)),
    ),
  );
}

function groupByOwner(cars: readonly CarFacts[]): CarFacts[][] {
  const byOwner = new Map<string, CarFacts[]>();
  for (const car of cars) {
    const own = byOwner.get(car.owner.id);
    if (own === undefined) byOwner.set(car.owner.id, [car]);
    else own.push(car);
  }
  return [...byOwner.values()];
}

/** The facts as they stand after the letters of this round, so that the next look respects them. */
function noting(cars: readonly CarFacts[], fresh: readonly WrittenLetter[]): CarFacts[] {
  const byOwner = new Map<string, WrittenLetter[]>();
  for (const written of fresh) {
    const { kind, ownerId } = written.letter;
    if (kind !== 'care-note' && !isAlarm(kind)) continue;
    byOwner.set(ownerId, [...(byOwner.get(ownerId) ?? []), written]);
  }
  return cars.map((car) => {
    const letters = byOwner.get(car.owner.id);
    return letters === undefined ? car : { ...car, owner: letters.reduce(ownerAfter, car.owner) };
  });
}

function ownerAfter(owner: OwnerFacts, { letter, occasions }: WrittenLetter): OwnerFacts {
  const on = dayIn(owner.timeZone, letter.notBefore);
  if (isAlarm(letter.kind)) return { ...owner, lastAlarmOn: on };
  const sent = occasions.map(({ key }) => ({ ...adviceIn(key), on }));
  return { ...owner, lastCareOn: on, adviceSent: [...owner.adviceSent, ...sent] };
}
