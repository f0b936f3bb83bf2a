import type { Instant } from '../../domain/calendar/instant.ts';
import { lookAgain } from '../../store/cars/look-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { cancelLetters } from '../../store/letters/letter-rows.ts';
import { carsOfLetters } from '../../store/letters/occasion-rows.ts';
import { lettersOfEndedOffers, offersUntold } from '../../store/visits/visit-letter-rows.ts';
import type { Context } from '../context/context.ts';
import { loadOwnStyle } from '../organisations/own-style.ts';
import { tellOwners } from '../round/plan-round.ts';

/**
 * Tells owners of the weeks to choose from that no letter tells of yet. Unsent letters about offers
 * that ended are cancelled. What is written is decided by the round, held at once for the owners
 * concerned: an offer shares the letter of the day with what is due, and waits for the next day where
 * that has left. Call it in the transaction that stored or ended offers, with the cars locked; calling
 * it again writes nothing more. Returns how many letters were written.
 */
export async function writeVisitOffered(
  context: Pick<Context, 'publicUrl' | 'mailDomain'>,
  sql: Sql,
  organisationId: string,
  at: Instant,
): Promise<number> {
  const ended = await lettersOfEndedOffers(sql, organisationId);
  const cancelled = await cancelLetters(sql, ended, 'the offer has ended', at);
  const untold = await offersUntold(sql, organisationId);
  const about = [...untold.map(({ carId }) => carId), ...(await carsOfLetters(sql, cancelled))];
  if (about.length === 0) return 0;
  await lookAgain(sql, [...new Set(about)].sort());
  const ownStyle = await loadOwnStyle(sql, organisationId);
  const ownerIds = [...new Set(untold.map(({ ownerId }) => ownerId))].sort();
  return tellOwners(context, sql, ownerIds, at, ownStyle);
}
