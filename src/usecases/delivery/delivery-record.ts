import type { Instant } from '../../domain/calendar/instant.ts';
import type { DeliveryFigures } from '../../domain/letters/delivery-figures.ts';
import type { Verdict } from '../../mail/enhanced-status.ts';
import type { SendOutcome } from '../../mail/sender.ts';
import type { ClaimedRow, Settlement } from '../../store/letters/delivery-rows.ts';
import { lockCarsOf, settleLetter } from '../../store/letters/delivery-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { concludeFailure } from './conclude-failure.ts';
import { settlementOf, untried } from './delivery-settlement.ts';
import type { Dispatch } from './delivery-truth.ts';

/** A letter that is out of the sender's hands; `outcome` is null where it never was in them. */
export interface Ended {
  readonly dispatch: Dispatch;
  readonly startedAt: Instant;
  readonly at: Instant;
  readonly outcome: SendOutcome | null;
  /** From 0 up to but not including 1: spreads the next attempt. */
  readonly chance: number;
  readonly opening: (instant: Instant) => Instant;
}

interface Settled {
  readonly letter: ClaimedRow;
  readonly at: Instant;
  readonly settlement: Settlement;
  readonly verdict: Verdict;
  readonly why: string;
}

/**
 * Writes down what became of letters, and what that says about their addresses, by the same table as
 * for reports that come back. Returns how many letters were cancelled because of it. What was
 * written down before, by a transaction that seemed to fail, is not written down twice.
 */
export async function recordEnded(
  sql: Sql,
  ended: readonly Ended[],
  at: Instant,
  figures: DeliveryFigures,
): Promise<number> {
  const settled = ended.map((one) => settledOf(one, figures));
  const telling = settled
    .filter(({ verdict }) => verdict === 'dead' || verdict === 'soft')
    .sort((a, b) => (a.letter.addressHash < b.letter.addressHash ? -1 : 1));
  // Cars before letters, as in every deed that cancels letters.
  await lockCarsOf(
    sql,
    telling.map(({ letter }) => letter),
  );
  const fresh = new Set<Settled>();
  for (const one of settled) {
    if (await settleLetter(sql, one.letter, one.at, one.settlement)) fresh.add(one);
  }
  let cancelled = 0;
  for (const one of telling) {
    if (!fresh.has(one)) continue;
    const { letter, verdict, why } = one;
    cancelled += (await concludeFailure(sql, letter, verdict, { at, why })).length;
  }
  return cancelled;
}

function settledOf({ dispatch, outcome, ...attempt }: Ended, figures: DeliveryFigures): Settled {
  const { letter } = dispatch;
  if (outcome === null) {
    return {
      letter,
      at: attempt.at,
      settlement: untried(letter, attempt.startedAt),
      verdict: 'none',
      why: '',
    };
  }
  const settlement = settlementOf(letter, outcome, attempt, figures);
  // A letter that is tried again has not failed yet.
  const failed = settlement.state === 'failed' && 'verdict' in outcome;
  return {
    letter,
    at: attempt.at,
    settlement,
    verdict: failed ? (outcome.verdict ?? 'none') : 'none',
    why: outcome.kind === 'sent' ? '' : outcome.detail,
  };
}
