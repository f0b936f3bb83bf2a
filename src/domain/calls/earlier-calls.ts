import { daysBetween, isDay } from '../calendar/day.ts';
import type { CallValues } from './call-figures.ts';

/** What may come of a call. */
export const CALL_OUTCOMES = [
  'reached',
  'no-answer',
  'message-left',
  'booked',
  'declined',
] as const;
export type CallOutcome = (typeof CALL_OUTCOMES)[number];

/** A call already made. */
export interface EarlierCall {
  /** Calendar day, `YYYY-MM-DD`. */
  readonly on: string;
  readonly outcome: CallOutcome;
}

const WEIGHT = {
  reached: 'afterReached',
  'no-answer': 'afterNoAnswer',
  'message-left': 'afterMessage',
  booked: 'afterBooked',
  declined: 'afterDeclined',
} as const satisfies Record<CallOutcome, keyof CallValues>;

/**
 * Share of its score that a car keeps after the calls made: 1 with none, less for each, and back
 * towards 1 as they grow old (each weighs half after the half-life). A call dated after today
 * weighs as one made today. Throws RangeError for a day that does not exist.
 */
export function shareAfterCalls(
  calls: readonly EarlierCall[],
  today: string,
  values: CallValues,
): number {
  return calls.reduce((kept, { on, outcome }) => {
    if (!isDay(on)) throw new RangeError(`call on ${on}: no day of the calendar`);
    const age = Math.max(0, daysBetween(on, today));
    return kept * (1 - values[WEIGHT[outcome]] * 0.5 ** (age / values.callHalfLife));
  }, 1);
}
