import type { DeliveryFigures } from '../../domain/letters/delivery-figures.ts';
import { DELIVERY_DEFAULTS } from '../../domain/letters/delivery-figures.ts';
import type { Sender } from '../../mail/sender.ts';
import type { Context } from '../context/context.ts';
import { watched } from '../context/watch.ts';
import type { DeliveryLimits } from './delivery-limits.ts';
import { DeliveryRun } from './delivery-run.ts';

export interface DeliveryOptions {
  /** The address that letters come from; the name is each letter's own organisation. */
  readonly mailFrom: { readonly name: string; readonly address: string };
  /** Where reports of failed letters go (`name@domain`); else to the address of `mailFrom`. */
  readonly bounceAddress?: string;
  /** Stops the run: what is in flight is finished, what was only claimed goes back. */
  readonly signal?: AbortSignal;
  /** Take up at most so many letters. */
  readonly limit?: number;
  /** Only this organisation's letters; all where absent. */
  readonly organisationId?: string;
  /** How fast letters may leave. Hand the same object to every run; absent, there is no limit. */
  readonly limits?: DeliveryLimits;
  readonly figures?: DeliveryFigures;
  /** Numbers from 0 up to but not including 1, which spread the attempts; drawn where absent. */
  readonly chance?: () => number;
  /** The process whose heartbeat vouches for what it holds; absent, only leases do. */
  readonly holder?: string | null;
}

export interface DeliveryResult {
  readonly delivered: number;
  /** Not accepted now and tried again later. */
  readonly retried: number;
  /** Not accepted, for good. */
  readonly refused: number;
  /** May or may not have arrived. */
  readonly unknown: number;
  /** No longer true, welcome or in time when their turn came. */
  readonly cancelled: number;
  /** Waiting with their reason, because a record about their cars cannot be read. */
  readonly setAside: number;
}

/**
 * Delivers every letter that may leave now, several at a time, until none is left. Any number of
 * processes may do so at once on one database: a letter is claimed by one of them, sent outside any
 * transaction, marked in a fenced statement before its final dot leaves, and settled under the same
 * fence. A crash at any point loses no letter; one of which the dot may have gone out before the crash
 * is sent once more under its own Message-ID and Date, an alarm up to four times. A letter that hangs
 * holds up those to its own domain alone. Stops early when our
 * mail settings are at fault or the mail server cannot be reached. Faults of the mail server are
 * outcomes; a fault of the database is thrown, after what was in flight has come back.
 */
export async function deliverLetters(
  context: Context,
  sender: Sender,
  options: DeliveryOptions,
): Promise<DeliveryResult> {
  const { mailFrom, bounceAddress } = options;
  const run = new DeliveryRun(context, sender, {
    head: { mailFrom, bounceAddress, mailDomain: context.mailDomain },
    figures: options.figures ?? DELIVERY_DEFAULTS,
    chance: options.chance ?? Math.random,
    limits: options.limits ?? null,
    signal: options.signal ?? null,
    limit: options.limit ?? Infinity,
    organisationId: options.organisationId ?? null,
    holder: options.holder ?? null,
  });
  return watched({ kind: 'work', name: 'delivery', facts: {} }, () => run.finish(), factsOf);
}

function factsOf(counts: DeliveryResult): Record<string, number> {
  return Object.fromEntries(
    Object.entries(counts).map(([name, count]) => [
      `foldkeep.${snakeCased(name)}`,
      count as number,
    ]),
  );
}

const snakeCased = (name: string): string =>
  name.replaceAll(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);
