import type { Verdict } from './enhanced-status.ts';
import type { OutgoingLetter } from './outgoing.ts';

/**
 * What became of one attempt to send.
 * - `sent`: the server took the letter over.
 * - `retry`: certainly not accepted; a later attempt may succeed. `verdict`: what it says about the
 *   address once there is no later attempt.
 * - `refused`: certainly not accepted, and no later attempt will be. `verdict`: what it says about
 *   the address, by the same table as for reports that come back.
 * - `unknown`: the letter may have gone out before the answer was lost.
 * - `configuration`: our own settings are wrong; the letter stays as it is, sending must stop.
 */
export type SendOutcome =
  | { readonly kind: 'sent'; readonly response: string; readonly serverMessageId?: string }
  | {
      readonly kind: 'retry';
      readonly code?: number;
      readonly enhanced?: string;
      readonly detail: string;
      readonly verdict?: Verdict;
    }
  | {
      readonly kind: 'refused';
      readonly code: number;
      readonly enhanced?: string;
      readonly detail: string;
      readonly verdict: Verdict;
    }
  | { readonly kind: 'unknown'; readonly detail: string }
  | { readonly kind: 'configuration'; readonly detail: string };

/**
 * Asked once, when all that a letter consists of is out and only the sign that ends it is not, so that
 * nobody can have taken it over yet. False, or a fault: it is not ended, and what went out is void.
 */
export type BeforeEnd = () => Promise<boolean>;

/** A way out for letters. `send` never rejects: every fault is an outcome. */
export interface Sender {
  /** The outcome is `unknown` only where `beforeEnd` had said true, or was not given. */
  send(letter: OutgoingLetter, beforeEnd?: BeforeEnd): Promise<SendOutcome>;
  /** Finishes what is in flight, then lets go of every connection. */
  close(): Promise<void>;
}

/** The outcome where `beforeEnd` said no. */
export const BROKEN_OFF: SendOutcome = { kind: 'retry', detail: 'broken off before its end' };

/** The outcome for a letter that cannot be built at all: RFC 3463 5.6.0, said by this program. */
export function unbuildable(fault: unknown): SendOutcome {
  const words = fault instanceof Error ? fault.message : 'unknown fault';
  return {
    kind: 'refused',
    code: 554,
    enhanced: '5.6.0',
    detail: `the letter never left this program: ${words}`,
    verdict: words.startsWith('to.address:') ? 'dead' : 'none',
  };
}
