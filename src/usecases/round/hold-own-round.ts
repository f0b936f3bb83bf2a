import { seenLetters, whatIsSeen } from '../../store/sharing/sight.ts';
import type { Caller, Context } from '../context/context.ts';
import type { RoundRequest, RoundResult } from './plan-round.ts';
import { planRound } from './plan-round.ts';

/**
 * Holds the round over the caller's own cars, for them to read what came of it. Every letter that is
 * owed is written; a club is told and counted those that it may see.
 */
export async function holdOwnRound(
  context: Context,
  { organisationId }: Pick<Caller, 'organisationId'>,
  request: Pick<RoundRequest, 'at' | 'dryRun'>,
): Promise<RoundResult> {
  const round = await planRound(context, { ...request, organisationId });
  const { sql } = context.store;
  const letters = round.letters.filter(await whatIsSeen(sql, organisationId));
  const cancelledIds = await seenLetters(sql, round.cancelledIds);
  return {
    ...round,
    planned: letters.length,
    cancelled: cancelledIds.length,
    letters,
    cancelledIds,
  };
}
