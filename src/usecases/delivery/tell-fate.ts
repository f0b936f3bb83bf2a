import { Refused } from '../../domain/refusal.ts';
import type { ToldFate } from '../../store/letters/fate-rows.ts';
import { hasLetter, tellFate } from '../../store/letters/fate-rows.ts';
import type { Caller, Context } from '../context/context.ts';

/** What can be said of a letter that may or may not have arrived. */
export const FATES = ['send-again', 'arrived', 'given-up'] as const;
export type Fate = (typeof FATES)[number];

/**
 * Says what is to become of a letter of unknown fate that is not sent again by itself: sent once more,
 * under its own Message-ID and if it is still true then; or let be, because it arrived or is given up.
 */
export async function tellLetterFate(
  context: Context,
  { organisationId }: Caller,
  id: string,
  fate: Fate,
): Promise<{ id: string; state: ToldFate['state']; nextTryAt: string | null }> {
  const now = context.now();
  const told: ToldFate = {
    'send-again': { state: 'unknown', nextTryAt: now, settledAt: null, fault: ASKED } as const,
    arrived: { state: 'delivered', nextTryAt: null, settledAt: now, fault: null } as const,
    'given-up': { state: 'failed', nextTryAt: null, settledAt: now, fault: GIVEN_UP } as const,
  }[fate];
  const done = await context.store.writeSql((sql) => tellFate(sql, organisationId, id, told));
  if (!done) {
    if (!(await hasLetter(context.store.sql, organisationId, id))) {
      throw new Refused({ kind: 'not-found', what: 'letter' });
    }
    const detail =
      'This letter waits for nobody’s word: its fate is known by now, or it is being sent again. Look at it anew.';
    throw new Refused({ kind: 'conflict', detail });
  }
  return { id, state: told.state, nextTryAt: told.nextTryAt };
}

const ASKED = 'It may or may not have arrived, and somebody asked for it to be sent once more.';
const GIVEN_UP = 'It may or may not have arrived, and somebody gave it up.';
