import type { Instant } from '../../domain/calendar/instant.ts';
import { addMinutes } from '../../domain/calendar/instant.ts';
import type { DeliveryFigures } from '../../domain/letters/delivery-figures.ts';
import type { ClaimedRow } from '../../store/letters/delivery-rows.ts';
import {
  beginSending,
  claimLetters,
  putBack,
  reapLeases,
} from '../../store/letters/delivery-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { Ended } from './delivery-record.ts';
import { recordEnded } from './delivery-record.ts';
import { FATE_UNKNOWN } from './delivery-settlement.ts';
import type { Leaving } from './delivery-truth.ts';
import { sortOut } from './delivery-truth.ts';

/** What one transaction of the delivery is to do. */
export interface Turn {
  readonly at: Instant;
  /** Letters to write down. */
  readonly ended: readonly Ended[];
  /** So many letters are looked at, of which so many may leave. */
  readonly size: number;
  readonly room: number;
  /** New for every attempt at the transaction. */
  readonly token: string;
  /** Of these, so many may be letters of unknown fate: no more than go to the sender at once. */
  readonly again: number;
  /** Whether to look for leases that ran out and letters of unknown fate: they are few. */
  readonly strays: boolean;
  readonly organisationId: string | null;
  readonly figures: DeliveryFigures;
  /** The first instant at which a letter may leave, as the limits have it. */
  readonly turnOf: (leaving: Leaving) => Instant;
}

export interface TurnDone {
  /** Marked: these may be sent once the transaction is committed, and not before. */
  readonly ready: Leaving[];
  /** Claimed, and to be decided about in a transaction that locks their cars. */
  readonly doubtful: ClaimedRow[];
  readonly claimed: number;
  readonly cancelled: number;
  readonly setAside: number;
  readonly moreStrays: boolean;
}

/** Writes down the ended, claims the next letters and marks those that may leave. */
export async function takeTurn(sql: Sql, turn: Turn): Promise<TurnDone> {
  const { at, size, room, figures } = turn;
  const cancelled = await recordEnded(sql, turn.ended, at, figures);
  const { rows, moreStrays } = size === 0 ? NO_CLAIM : await claim(sql, turn);
  const { sayable, early, doubtful, unclear } = await sortOut(sql, rows, at, figures);
  const due: Leaving[] = [];
  for (const leaving of sayable) {
    const { letter } = leaving;
    const until = due.length < room ? turn.turnOf(leaving) : null;
    if (until !== null && until <= at) due.push(leaving);
    else early.push({ letter, until: until ?? letter.nextTryAt ?? at });
  }
  for (const { letter, until } of early) await putBack(sql, letter, until);
  for (const { letter, why } of unclear) await setAside(sql, letter, why, at, figures);
  const letters = due.map(({ letter }) => letter);
  const begun = await beginSending(sql, letters, at, leaseFrom(at, figures));
  doubtful.push(...letters.filter(({ id }) => !begun.has(id)));
  const ready = due.filter(({ letter }) => begun.has(letter.id));
  const claimed = rows.length;
  return { ready, doubtful, claimed, cancelled, setAside: unclear.length, moreStrays };
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
  const { at, size, token, organisationId, figures } = turn;
  const asked = { at, organisationId, token, leaseUntil: leaseFrom(at, figures) };
  const again: ClaimedRow[] = [];
  const most = Math.min(size, turn.again);
  if (turn.strays) {
    await reapLeases(sql, at, {
      resendAt: addMinutes(at, figures.unknownMinutes),
      resends: figures.resends,
      fault: FATE_UNKNOWN,
    });
    if (most > 0) again.push(...(await claimLetters(sql, 'unknown', { ...asked, limit: most })));
  }
  const moreStrays = turn.strays && again.length === most;
  // Those of unknown fate go alone, so that each is with the sender as soon as it is marked.
  if (again.length > 0) return { rows: again, moreStrays };
  return { rows: await claimLetters(sql, 'planned', { ...asked, limit: size }), moreStrays };
}

function leaseFrom(at: Instant, figures: DeliveryFigures): Instant {
  return addMinutes(at, figures.leaseMinutes);
}
