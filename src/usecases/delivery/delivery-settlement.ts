import type { Instant } from '../../domain/calendar/instant.ts';
import { addMinutes, msOf, toInstant } from '../../domain/calendar/instant.ts';
import type { DeliveryFigures } from '../../domain/letters/delivery-figures.ts';
import { isAlarm } from '../../domain/round/letter-kind.ts';
import {
  BEYOND_ASCII,
  isBeyondAscii,
  parseStatus,
  statusWords,
} from '../../mail/enhanced-status.ts';
import { backOff, nextAttempt } from '../../mail/retry.ts';
import type { SendOutcome } from '../../mail/sender.ts';
import type { ClaimedRow, FateUnknown, Settlement } from '../../store/letters/delivery-rows.ts';

/** The words for a letter of unknown fate. */
export const FATE_UNKNOWN =
  'The line broke after the letter went out and before the mail server answered: it may or may not have arrived.';
const SENT_AGAIN =
  'It was sent once more and its fate is unknown again. It is not sent again by itself: ask the owner, send it again from the day’s page, or let it be.';

export interface Attempt {
  /** When sending began. */
  readonly startedAt: Instant;
  /** When the answer came. */
  readonly at: Instant;
  /** A random number in [0, 1) that spreads the next attempts. */
  readonly chance: number;
  /** The first instant, this or a later one, at which such a letter may leave. */
  readonly opening: (instant: Instant) => Instant;
}

/** Whether the letter may have gone out in an earlier attempt. */
export function isResend(letter: Pick<ClaimedRow, 'startedAt'>): boolean {
  return letter.startedAt !== null;
}

/**
 * What an outcome makes of a letter. A refusal for now (4yz) is repeated for as long as the retry
 * figures say, counted from the first such answer; a mail server that cannot be reached is no fault
 * of the letter, which waits for it as long as it is true. `letter` is the row as it was claimed.
 */
export function settlementOf(
  letter: ClaimedRow,
  outcome: SendOutcome,
  attempt: Attempt,
  figures: DeliveryFigures,
): Settlement {
  const { at, opening, startedAt } = attempt;
  const resends = letter.resends + (isResend(letter) ? 1 : 0);
  switch (outcome.kind) {
    case 'sent':
      return {
        resends,
        startedAt,
        state: 'delivered',
        nextTryAt: null,
        response: withId(outcome.response, outcome.serverMessageId),
        fault: null,
        mayHaveGone: true,
      };
    case 'retry':
      return retried(letter, outcome, attempt, figures);
    case 'refused':
      return {
        resends,
        startedAt,
        state: 'failed',
        nextTryAt: null,
        response: outcome.detail,
        fault: refusalWords(outcome),
        mayHaveGone: isResend(letter),
      };
    case 'unknown': {
      const again = resends < resendsOf(letter, figures);
      return {
        resends,
        startedAt,
        state: 'unknown',
        nextTryAt: again ? opening(addMinutes(at, figures.unknownMinutes)) : null,
        response: letter.response,
        fault: again || resends === 0 ? FATE_UNKNOWN : SENT_AGAIN,
        mayHaveGone: true,
      };
    }
    case 'configuration':
  }
  return {
    ...untried(letter, startedAt),
    nextTryAt: opening(addMinutes(at, figures.settingsMinutes)),
    fault: `Letters cannot leave with the present mail settings, so this one waits: ${outcome.detail}`,
  };
}

/** How often a letter of unknown fate is sent once more: an alarm is worth more than tidiness. */
export function resendsOf(letter: Pick<ClaimedRow, 'kind'>, figures: DeliveryFigures): number {
  return isAlarm(letter.kind) ? figures.alarmResends : figures.resends;
}

/** What becomes of letters that a process had in its hands when it ended, or its lease. */
export function fateOfHeld(resendAt: Instant, figures: DeliveryFigures): FateUnknown {
  const resends = { alarm: figures.alarmResends, other: figures.resends };
  return { resendAt, resends, fault: FATE_UNKNOWN };
}

/** For a letter that was claimed and not handed to the mail server: as it was before. */
export function untried(letter: ClaimedRow, startedAt: Instant): Settlement {
  return {
    ...before(letter),
    startedAt,
    nextTryAt: letter.nextTryAt,
    response: letter.response,
    fault: letter.fault,
    attempts: -1,
  };
}

/** For a letter of unknown fate that may not be sent once more, and why. */
export function heldForGood(letter: ClaimedRow, why: string, at: Instant): Settlement {
  return {
    resends: letter.resends,
    startedAt: letter.startedAt ?? at,
    state: 'unknown',
    nextTryAt: null,
    response: letter.response,
    fault: `${FATE_UNKNOWN} It is not sent once more: ${why}.`,
    mayHaveGone: true,
  };
}

/** This attempt did not count: a first sending is still planned, a resend is still to be done. */
function before(letter: ClaimedRow) {
  const { resends } = letter;
  return isResend(letter)
    ? ({ state: 'unknown', mayHaveGone: true, resends } as const)
    : ({ state: 'planned', mayHaveGone: false, resends } as const);
}

function retried(
  letter: ClaimedRow,
  outcome: SendOutcome & { kind: 'retry' },
  { startedAt, at, chance, opening }: Attempt,
  figures: DeliveryFigures,
): Settlement {
  if (outcome.code === undefined) {
    return {
      ...before(letter),
      startedAt,
      nextTryAt: opening(toInstant(msOf(at) + backOff(letter.attempts, chance, figures))),
      response: letter.response,
      fault: `The mail server could not be reached or broke off; the letter is tried again: ${outcome.detail}`,
    };
  }
  // Not from `notBefore`: a letter that waited out a long outage would be given up at once.
  const firstAt = letter.firstTriedAt ?? startedAt;
  const next = nextAttempt({ attempts: letter.attempts, firstAt, now: at }, chance, figures);
  if (next !== null) {
    return {
      ...before(letter),
      startedAt,
      nextTryAt: opening(next),
      response: outcome.detail,
      fault: 'The receiving mail system asked to try again later, and that is done.',
      triedAt: startedAt,
    };
  }
  const given = { nextTryAt: null, response: outcome.detail };
  return isResend(letter)
    ? {
        ...heldForGood(letter, 'the receiving mail system did not take it in time', at),
        ...given,
      }
    : {
        ...given,
        startedAt,
        resends: letter.resends,
        state: 'failed',
        fault:
          'Given up: the receiving mail system asked to try again later until it was too late.',
        mayHaveGone: false,
      };
}

/** Why a letter was refused, for people. Codes of policy speak of us, never of the address. */
function refusalWords(outcome: SendOutcome & { kind: 'refused' }): string {
  const status = parseStatus(outcome.enhanced ?? '');
  const words = status === null ? 'not delivered' : statusWords(status);
  switch (outcome.verdict) {
    case 'policy':
      if (isBeyondAscii(status)) return BEYOND_ASCII;
      return `Please look into this: the receiver objects to the sender or the letter, not to the address (${words}).`;
    case 'soft':
      return `Refused by the receiving mail system (${words}). That may pass; only repetition counts against the address.`;
    case 'dead':
      return `The address takes no mail (${words}). Nothing more is written to it: correct the address.`;
    case 'none':
      return `Not delivered (${words}): ${outcome.detail}`;
  }
}

function withId(response: string, serverMessageId: string | undefined): string {
  return serverMessageId === undefined ? response : `${response} (sent as ${serverMessageId})`;
}
