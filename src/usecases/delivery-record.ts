import type { Instant } from '../domain/calendar/instant.ts';
import type { DeliveryFigures } from '../domain/round/delivery-figures.ts';
import type { SendOutcome } from '../mail/sender.ts';
import { freeOccasions, markDead, openLettersTo, settleLetter } from '../store/delivery-rows.ts';
import { cancelLetters } from '../store/letter-rows.ts';
import type { Sql } from '../store/sql.ts';
import { settlementOf, untried } from './delivery-settlement.ts';
import type { Leaving } from './delivery-truth.ts';

/** A letter that is out of the sender's hands; `outcome` is null where it never was in them. */
export interface Ended {
  readonly leaving: Leaving;
  readonly startedAt: Instant;
  readonly at: Instant;
  readonly outcome: SendOutcome | null;
  readonly opening: (instant: Instant) => Instant;
}

/**
 * Writes down what became of letters. An address that turned out dead is noted, and whatever else
 * waits for it is cancelled; how many were is returned.
 */
export async function recordEnded(
  sql: Sql,
  ended: readonly Ended[],
  at: Instant,
  figures: DeliveryFigures,
): Promise<number> {
  let cancelled = 0;
  for (const { leaving, outcome, ...attempt } of ended) {
    const { letter } = leaving;
    if (outcome === null) {
      await settleLetter(sql, letter, attempt.at, untried(letter));
      continue;
    }
    const settlement = settlementOf(
      letter,
      outcome,
      { ...attempt, chance: Math.random() },
      figures,
    );
    await settleLetter(sql, letter, attempt.at, settlement);
    if (outcome.kind !== 'refused' || !outcome.badAddress) continue;
    await markDead(sql, letter, at, outcome.detail);
    // Once the address is corrected, what is still true is written about again.
    await freeOccasions(sql, letter.id);
    const open = await openLettersTo(sql, letter);
    cancelled += (await cancelLetters(sql, open, 'the address takes no mail', at)).length;
  }
  return cancelled;
}
