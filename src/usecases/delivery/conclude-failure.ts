import type { Instant } from '../../domain/calendar/instant.ts';
import type { SoftFailure } from '../../domain/standing/soft-failures.ts';
import { withSoftFailure } from '../../domain/standing/soft-failures.ts';
import type { Verdict } from '../../mail/enhanced-status.ts';
import { freeOccasions, markDead, openLettersTo } from '../../store/letters/delivery-rows.ts';
import type { LetterRow } from '../../store/letters/letter-rows.ts';
import { cancelLetters } from '../../store/letters/letter-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { lockStanding, storeSoftFailures } from '../../store/owners/standing-rows.ts';
import { organisationFigures } from '../figures/shop-rules.ts';

/** The part of a letter that a conclusion needs. */
export type FailedLetter = Pick<LetterRow, 'id' | 'organisationId' | 'addressHash'>;

/**
 * Draws the conclusion from a letter that failed, whether a mail server said so at once or a report
 * came back later. A dead address gets no more mail, and what waits for it is cancelled; failures
 * that may pass count together; an objection to the sender or the letter blames no address, and the
 * shop reads it in the letter. Call it in the transaction that notes the failure, with the cars of
 * the address locked. Returns the ids of the letters that were cancelled.
 */
export async function concludeFailure(
  sql: Sql,
  letter: FailedLetter,
  verdict: Verdict,
  failure: { readonly at: Instant; readonly why: string },
): Promise<string[]> {
  switch (verdict) {
    case 'dead':
      // Once the address is corrected, what is still true is written about again.
      await freeOccasions(sql, letter.id);
      return suppress(sql, letter, failure.at, failure.why);
    case 'soft':
      return countFailure(sql, letter, failure.at);
    case 'policy':
    case 'none':
      return [];
  }
}

/** Nothing more goes to this address, and what waits for it is cancelled. */
async function suppress(
  sql: Sql,
  letter: FailedLetter,
  at: Instant,
  why: string,
): Promise<string[]> {
  await markDead(sql, letter, at, why);
  return cancelLetters(sql, await openLettersTo(sql, letter), 'the address takes no mail', at);
}

/** Counts a failure that may pass. With too many of them lately the address counts as dead. */
async function countFailure(sql: Sql, letter: FailedLetter, at: Instant): Promise<string[]> {
  const figures = await organisationFigures(sql, letter.organisationId, 'standing');
  const standing = await lockStanding(sql, letter);
  const known = JSON.parse(standing.softFailures) as SoftFailure[];
  const { failures, dead } = withSoftFailure(known, { letterId: letter.id, at }, figures);
  await storeSoftFailures(sql, letter, failures);
  if (!dead) return [];
  const why = `${failures.length} letters came back within ${figures.softDays} days (shop rule)`;
  return suppress(sql, letter, at, why);
}
