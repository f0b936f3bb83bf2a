import type { Instant } from '../../domain/calendar/instant.ts';
import { addMinutes, msOf, toInstant } from '../../domain/calendar/instant.ts';
import type { DeliveryFigures } from '../../domain/letters/delivery-figures.ts';
import type { ClaimedRow } from '../../store/letters/delivery-rows.ts';
import {
  claimLetters,
  markEnding,
  putBack,
  reap,
  welcomeAmong,
} from '../../store/letters/delivery-rows.ts';
import { bodiesOf } from '../../store/letters/letter-rows.ts';
import { databaseClock } from '../../store/letters/holder-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { Ended } from './delivery-record.ts';
import { recordEnded } from './delivery-record.ts';
import { fateOfHeld } from './delivery-settlement.ts';
import type { Dispatch, Sayable } from './delivery-truth.ts';
import { sortOut } from './delivery-truth.ts';

/** What one transaction of the delivery is to do. */
export interface Turn {
  readonly at: Instant;
  /** Letters to write down. */
  readonly ended: readonly Ended[];
  /** Letters of which all but the final dot is out, to be marked. */
  readonly asking: readonly ClaimedRow[];
  /** So many letters are looked at, of which so many may leave. */
  readonly size: number;
  readonly room: number;
  /** New for every attempt at the transaction. */
  readonly token: string;
  /** Whether to look for leases that ran out and letters of unknown fate: they are few. */
  readonly strays: boolean;
  readonly organisationId: string | null;
  /** The process whose heartbeat vouches for what is claimed. */
  readonly holder: string | null;
  readonly figures: DeliveryFigures;
  /** The first instant at which a letter may leave, as the limits have it. */
  readonly turnOf: (sayable: Sayable) => Instant;
}

export interface TurnDone {
  /** Ids of those marked: they may be ended once the transaction is committed, and not before. */
  readonly marked: ReadonlySet<string>;
  /** Claimed, true and welcome. */
  readonly ready: Dispatch[];
  /** Claimed, and to be decided about in a transaction that locks their cars. */
  readonly doubtful: ClaimedRow[];
  readonly claimed: number;
  readonly cancelled: number;
  readonly setAside: number;
  readonly moreStrays: boolean;
}

/** Writes down the ended, marks those that are about to end, and claims the next letters. */
export async function takeTurn(sql: Sql, turn: Turn): Promise<TurnDone> {
  const { at, size, room, figures } = turn;
  const cancelled = await recordEnded(sql, turn.ended, at, figures);
  const marked = await markEnding(sql, turn.asking, at, leaseFrom(at, figures));
  const { rows, moreStrays } = size === 0 ? NO_CLAIM : await claim(sql, turn);
  const { sayable, early, doubtful, unclear } = await sortOut(sql, rows, at, figures);
  const due: Sayable[] = [];
  for (const one of sayable) {
    const { letter } = one;
    const until = due.length < room ? turn.turnOf(one) : null;
    if (until !== null && until <= at) due.push(one);
    else early.push({ letter, until: until ?? letter.nextTryAt ?? at });
  }
  for (const { letter, until } of early) await putBack(sql, letter, until);
  for (const { letter, why } of unclear) await setAside(sql, letter, why, at, figures);
  const welcome = await welcomeAmong(
    sql,
    due.map(({ letter }) => letter.id),
  );
  const bodies = await bodiesOf(sql, [...welcome]);
  const ready = due
    .filter(({ letter }) => welcome.has(letter.id))
    .map((one) => ({ ...one, body: bodies.get(one.letter.id) ?? null }));
  for (const { letter } of due) if (!welcome.has(letter.id)) doubtful.push(letter);
  const claimed = rows.length;
  // Those for which there was no room are looked for again, though they have no lease any more.
  const waiting = early.some(({ until }) => until <= at);
  return {
    marked,
    ready,
    doubtful,
    claimed,
    cancelled,
    setAside: unclear.length,
    moreStrays: moreStrays || waiting,
  };
}

const NO_CLAIM = { rows: [], moreStrays: false } as const;

/** A record that cannot be read must not hold up the queue: its letter waits, and says why. */
export async function setAside(
  sql: Sql,
  letter: ClaimedRow,
  why: string,
  at: Instant,
  figures: DeliveryFigures,
): Promise<void> {
  const fault = `This letter waits because nobody can tell whether it is still true: a record about its cars cannot be read (${why}). It is looked at again later.`;
  await putBack(sql, letter, addMinutes(at, figures.checkMinutes), fault);
}

async function claim(sql: Sql, turn: Turn): Promise<{ rows: ClaimedRow[]; moreStrays: boolean }> {
  const { at, size, token, organisationId, holder, figures } = turn;
  const asked = { at, organisationId, token, holder, leaseUntil: leaseFrom(at, figures) };
  const rows: ClaimedRow[] = [];
  if (turn.strays) {
    await takeBackStrays(sql, at, figures);
    rows.push(...(await claimLetters(sql, 'unknown', { ...asked, limit: size })));
  }
  const moreStrays = turn.strays && rows.length === size;
  const limit = size - rows.length;
  if (limit > 0) rows.push(...(await claimLetters(sql, 'planned', { ...asked, limit })));
  return { rows, moreStrays };
}

/** Takes back letters whose lease ran out, or whose holder's heart stopped. */
async function takeBackStrays(sql: Sql, at: Instant, figures: DeliveryFigures): Promise<void> {
  await reap(sql, { leaseOver: at }, fateOfHeld(addMinutes(at, figures.unknownMinutes), figures));
  if (sql.dialect === 'sqlite') return;
  const stoppedSince = toInstant(msOf(await databaseClock(sql)) - figures.stoppedSeconds * 1_000);
  await reap(sql, { stoppedSince }, fateOfHeld(addMinutes(at, figures.deadMinutes), figures));
}

function leaseFrom(at: Instant, figures: DeliveryFigures): Instant {
  return addMinutes(at, figures.leaseMinutes);
}
