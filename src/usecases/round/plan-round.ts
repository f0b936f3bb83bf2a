import type { Instant } from '../../domain/calendar/instant.ts';
import type { OwnerDecision } from '../../domain/round/decide.ts';
import { CANCEL_REASONS, decideRound } from '../../domain/round/decide.ts';
import { LOOK_NOW } from '../../domain/round/next-look.ts';
import type { LoadedFacts } from '../../store/cars/car-facts-rows.ts';
import { loadCarFacts } from '../../store/cars/car-facts-rows.ts';
import type { CarToLookAt } from '../../store/cars/look-rows.ts';
import {
  carsLookedAtLater,
  carsToLookAt,
  dueCarsOf,
  storeLooks,
} from '../../store/cars/look-rows.ts';
import { forgetHeld, heldLaterThan } from '../../store/cars/round-held-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { cancelLetters, storeLetters } from '../../store/letters/letter-rows.ts';
import { countSetAside, setAside, takeBackIn } from '../../store/letters/round-fault-rows.ts';
import { storeLinks } from '../../store/letters/link-rows.ts';
import type { Context } from '../context/context.ts';
import { othersFirst, portions } from '../context/turns.ts';
import { watched } from '../context/watch.ts';
import type { LetterRecord } from '../letters/read-letters.ts';
import { letterRecordOf } from '../letters/read-letters.ts';
import type { OwnStyle } from '../organisations/own-style.ts';
import { loadOwnStyle } from '../organisations/own-style.ts';
import type { Aside } from './each-owner.ts';
import { each } from './each-owner.ts';
import { eachWhileKept } from './while-kept.ts';
import type { Threads } from './letter-threads.ts';
import { earlierLetters, threadsOf } from './letter-threads.ts';
import type { WrittenLetter } from './compose-letter.ts';
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
  /** Ends the round behind the owners in hand; what it did not come to is left to the next. */
  readonly signal?: AbortSignal;
}

export interface RoundResult {
  readonly at: Instant;
  readonly dryRun: boolean;
  readonly planned: number;
  readonly cancelled: number;
  /** Empty where they were not asked for. */
  readonly letters: LetterRecord[];
  readonly cancelledIds: string[];
  /** Owners for whom nothing could be decided or written; today's page names them with the reason. */
  readonly setAside: number;
}

const CARS_AT_A_LOOK = 4_000;
const CARS_AN_OWNER = 50;
// Each chunk is one commit, and nobody else can write before it.
const OWNERS_A_CHUNK = 128;
// Letters are long, so a few at a time are written, stored and let go; whoever reads has a turn between them.
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
  const facts = { 'foldkeep.dry_run': request.dryRun ?? false };
  return watched(
    { kind: 'work', name: 'round', facts },
    () => holdRound(context, request),
    ({ planned, cancelled, setAside: aside }) => ({
      'foldkeep.planned': planned,
      'foldkeep.cancelled': cancelled,
      'foldkeep.set_aside': aside,
    }),
  );
}

async function holdRound(context: Context, request: RoundRequest): Promise<RoundResult> {
  const at = request.at ?? context.now();
  const { dryRun = false, organisationId = null, withLetters = true, signal } = request;
  let planned = 0;
  const letters: LetterRecord[] = [];
  const cancelledIds: string[] = [];
  const setAsideIds: string[] = [];
  const seen = new Set<string>();
  let ownStyle: OwnStyle | null = null;
  const isOver = () => signal?.aborted === true;

  const collect = ({ results, aside }: Chunk): void => {
    for (const looked of results) {
      planned += looked.planned;
      letters.push(...looked.letters);
      cancelledIds.push(...looked.cancelledIds);
    }
    setAsideIds.push(...aside.map(({ id }) => id));
  };

  /** Looks at the owners of these cars whom the round has not looked at; false where there are none. */
  const lookAtOwnersOf = async (cars: readonly CarToLookAt[]): Promise<boolean> => {
    const ownerIds = [...new Set(cars.map((car) => car.ownerId))].filter((id) => !seen.has(id));
    if (ownerIds.length === 0) return false;
    ownStyle ??= await loadOwnStyle(context.store.sql, organisationId);
    const round = { context, at, ownStyle, withLetters };
    for (const id of ownerIds) seen.add(id);
    const chunks: string[][] = [];
    for (let start = 0; start < ownerIds.length; start += OWNERS_A_CHUNK) {
      chunks.push(ownerIds.slice(start, start + OWNERS_A_CHUNK));
    }
    await eachWhileKept(
      chunks,
      (chunk, deedIsDone) =>
        dryRun ? decideChunkDry(round, chunk) : lookAtChunk(round, chunk, deedIsDone),
      collect,
      isOver,
    );
    return true;
  };

  while (!isOver()) {
    // Cars that stay due, since nothing is written down about them, must not hide those behind them.
    const limit = CARS_AT_A_LOOK + (dryRun ? seen.size : setAsideIds.length * CARS_AN_OWNER);
    const due = await carsToLookAt(context.store.sql, at, limit, organisationId);
    if (!(await lookAtOwnersOf(due))) break;
  }
  const heldLater = await heldLaterThan(context.store.sql, at);
  if (heldLater.length > 0) {
    for await (const later of carsLookedAtLater(context.store.sql, at, organisationId)) {
      await othersFirst();
      if (isOver()) break;
      await lookAtOwnersOf(later);
    }
    const isDone = !dryRun && !isOver() && organisationId === null && setAsideIds.length === 0;
    if (isDone) await context.store.writeSql((sql) => forgetHeld(sql, heldLater, at));
  }
  return {
    at,
    dryRun,
    planned,
    cancelled: cancelledIds.length,
    letters,
    cancelledIds,
    setAside: setAsideIds.length,
  };
}

/** What came of some owners of a round. */
interface Chunk {
  readonly results: readonly Looked[];
  readonly aside: readonly Aside[];
}

async function lookAtChunk(
  round: Round,
  ownerIds: readonly string[],
  deedIsDone: () => void,
): Promise<Chunk> {
  const { store } = round.context;
  const done = await each(store.sql, ownerIds, (ids) =>
    store.writeSql(async (sql) => {
      const looked = await lookAtOwners(round, sql, ids);
      deedIsDone();
      return looked;
    }),
  );
  await noteAside(round.context, ownerIds, done.aside, round.at);
  return done;
}

function decideChunkDry(round: Round, ownerIds: readonly string[]): Promise<Chunk> {
  const { sql } = round.context.store;
  return each(sql, ownerIds, (ids) => decideDry(round, sql, ids));
}

/** Keeps for the day's page what could not be done, and forgets it once it could. */
async function noteAside(
  { store }: Context,
  ownerIds: readonly string[],
  aside: readonly Aside[],
  at: Instant,
): Promise<void> {
  const known = await countSetAside(store.sql);
  if (known === 0 && aside.length === 0) return;
  await store.writeSql(async (sql) => {
    await takeBackIn(sql, ownerIds);
    await setAside(
      sql,
      aside.map(({ id: ownerId, reason }) => ({ ownerId, reason, at })),
    );
  });
}

/** What the links and Message-IDs of letters are made of. */
type LetterContext = Pick<Context, 'publicUrl' | 'mailDomain'>;

interface RoundWork {
  readonly context: LetterContext;
  readonly at: Instant;
  readonly ownStyle: OwnStyle;
  readonly withLetters: boolean;
}

interface Round extends RoundWork {
  readonly context: Context;
}

/**
 * The round for some owners, inside the transaction that made something worth writing to them; their
 * cars have to bear it (`LOOK_NOW`). Returns how many letters were written.
 */
export async function tellOwners(
  context: LetterContext,
  sql: Sql,
  ownerIds: readonly string[],
  at: Instant,
  ownStyle: OwnStyle,
): Promise<number> {
  let planned = 0;
  for (let start = 0; start < ownerIds.length; start += OWNERS_A_CHUNK) {
    const chunk = ownerIds.slice(start, start + OWNERS_A_CHUNK);
    const looked = await lookAtOwners({ context, at, ownStyle, withLetters: false }, sql, chunk);
    planned += looked.planned;
  }
  return planned;
}

interface Looked {
  readonly planned: number;
  readonly letters: LetterRecord[];
  readonly cancelledIds: string[];
}

async function lookAtOwners(
  round: RoundWork,
  sql: Sql,
  ownerIds: readonly string[],
): Promise<Looked> {
  const { at } = round;
  const { facts, decisions, cancelledIds } = await decideAndCancel(sql, ownerIds, at);
  const threads = threadsOf(facts.told);
  const letters: LetterRecord[] = [];
  const looks: { id: string; lookAt: Instant | null }[] = [];
  let planned = 0;
  for await (const part of portions(decisions, OWNERS_A_PART)) {
    const written = part.map((decision) => writeDecided(round, decision, threads));
    const fresh = await storeNew(sql, written.flat());
    planned += fresh.length;
    if (round.withLetters) letters.push(...fresh.map(recordOf));
    const stored = new Set(fresh.map(({ letter }) => letter.id));
    for (const [i, decision] of part.entries()) {
      // Another round wrote about one of these occasions meanwhile: what is left of it is for the next.
      const isWhole = (written[i] ?? []).every(({ letter }) => stored.has(letter.id));
      looks.push(
        ...decision.looks.map(({ id, lookAt }) => ({ id, lookAt: isWhole ? lookAt : LOOK_NOW })),
      );
    }
  }
  await storeLooks(sql, looks, at);
  return { planned, letters, cancelledIds };
}

interface Decided {
  readonly facts: LoadedFacts;
  readonly decisions: readonly OwnerDecision[];
  readonly cancelledIds: string[];
}

/**
 * Decides, and cancels what has to go. A letter that somebody began to send meanwhile cannot be
 * cancelled any more: then it is decided again with it as said.
 */
async function decideAndCancel(
  sql: Sql,
  ownerIds: readonly string[],
  at: Instant,
): Promise<Decided> {
  let facts = await factsOf(sql, ownerIds, at, true);
  const cancelledIds: string[] = [];
  for (;;) {
    await othersFirst();
    const decisions = decideRound(facts, at);
    await othersFirst();
    const gone = await cancelDecided(sql, decisions, at);
    cancelledIds.push(...gone);
    const wanted = new Set(
      decisions.flatMap(({ cancel }) => cancel.map(({ letterId }) => letterId)),
    );
    if (gone.length === wanted.size) return { facts, decisions, cancelledIds };
    facts = await loadCarFacts(
      sql,
      facts.cars.map(({ id }) => id),
      at,
    );
  }
}

async function cancelDecided(
  sql: Sql,
  decisions: readonly OwnerDecision[],
  at: Instant,
): Promise<string[]> {
  const gone: string[] = [];
  for (const why of CANCEL_ORDER) {
    const ids = decisions.flatMap(({ cancel }) =>
      cancel.flatMap((one) => (one.why === why ? [one.letterId] : [])),
    );
    if (ids.length > 0) gone.push(...(await cancelLetters(sql, ids, CANCEL_REASONS[why], at)));
  }
  return gone;
}

const CANCEL_ORDER = ['early', 'untrue', 'joined'] as const;

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

async function decideDry(round: RoundWork, sql: Sql, ownerIds: readonly string[]): Promise<Looked> {
  const { at } = round;
  const facts = await factsOf(sql, ownerIds, at, false);
  await othersFirst();
  const decisions = decideRound(facts, at);
  const threads = threadsOf(facts.told);
  const letters: LetterRecord[] = [];
  let planned = 0;
  for await (const part of portions(decisions, OWNERS_A_PART)) {
    const written = part.flatMap((decision) => writeDecided(round, decision, threads));
    planned += written.length;
    if (round.withLetters) letters.push(...written.map(recordOf));
  }
  return {
    planned,
    letters,
    cancelledIds: decisions.flatMap(({ cancel }) => cancel.map(({ letterId }) => letterId)),
  };
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

function writeDecided(
  { context, at, ownStyle }: RoundWork,
  { cars, write }: OwnerDecision,
  threads: Threads,
): WrittenLetter[] {
  return write.map((owed) =>
    writeLetter(context, cars, owed, at, ownStyle, earlierLetters(threads, owed.occasions)),
  );
}
