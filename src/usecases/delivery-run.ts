import { randomUUID } from 'node:crypto';
import type { Instant } from '../domain/calendar/instant.ts';
import { addMinutes } from '../domain/calendar/instant.ts';
import type { DeliveryFigures } from '../domain/round/delivery-figures.ts';
import type { Sender, SendOutcome } from '../mail/sender.ts';
import { unbuildable } from '../mail/send-outcome.ts';
import type { ClaimedRow } from '../store/delivery-rows.ts';
import { beginSending, claimLetters, putBack, reapLeases } from '../store/delivery-rows.ts';
import type { Deed } from './deed.ts';
import type { Letterhead } from './delivery-letter.ts';
import { outgoingOf } from './delivery-letter.ts';
import type { DeliveryLimits } from './delivery-limits.ts';
import type { Ended } from './delivery-record.ts';
import { keepUnwelcome, recordEnded } from './delivery-record.ts';
import { FATE_UNKNOWN } from './delivery-settlement.ts';
import type { Leaving } from './delivery-truth.ts';
import { openingFor, sayableNow } from './delivery-truth.ts';

export interface RunOptions {
  readonly head: Letterhead;
  readonly figures: DeliveryFigures;
  readonly limits: DeliveryLimits | null;
  readonly signal: AbortSignal | null;
  readonly limit: number;
  readonly organisationId: string | null;
}

export type DeliveryCounts = Record<
  'delivered' | 'retried' | 'refused' | 'unknown' | 'cancelled',
  number
>;

// So long an ended letter waits for others before it is written down with them in one commit.
const GATHER_MS = 10;
const WRITE_ATTEMPTS = 3;

/**
 * One run of the delivery. Letters go through four hands: claimed (leased, true and in the hours),
 * ready (marked as begun), flying (with the sender), ended (to be written down). One transaction
 * writes down the ended and marks the next ready ones, so that the disk is asked once for several
 * letters; nothing is sent while a transaction is open, and nothing unmarked is sent.
 */
export class DeliveryRun {
  readonly counts: DeliveryCounts = {
    delivered: 0,
    retried: 0,
    refused: 0,
    unknown: 0,
    cancelled: 0,
  };
  readonly #deed: Deed;
  readonly #sender: Sender;
  readonly #options: RunOptions;
  readonly #claimed: Leaving[] = [];
  readonly #ready: { leaving: Leaving; startedAt: Instant }[] = [];
  readonly #ended: Ended[] = [];
  #flying = 0;
  /** One at a time until the mail server has shown that it answers. */
  #width = 1;
  #faultsInARow = 0;
  #left: number;
  #stopped = false;
  #exhausted = false;
  #wake: (() => void) | null = null;

  constructor(deed: Deed, sender: Sender, options: RunOptions) {
    this.#deed = deed;
    this.#sender = sender;
    this.#options = options;
    this.#left = options.limit;
  }

  /** Delivers until nothing is left, the signal stops it, or the mail server shows no sense in it. */
  async finish(): Promise<DeliveryCounts> {
    try {
      for (;;) {
        if (this.#stopping()) this.#unready();
        else if (this.#claimed.length === 0 && !this.#exhausted) await this.#claim();
        await this.#record();
        this.#launch();
        const idle = this.#flying === 0 && this.#ready.length === 0 && this.#ended.length === 0;
        if (idle && (this.#stopping() || (this.#claimed.length === 0 && this.#exhausted))) break;
        if (!idle) await this.#news();
      }
      return this.counts;
    } finally {
      this.#stopped = true;
      await this.#giveBack();
    }
  }

  #stopping(): boolean {
    return this.#stopped || this.#options.signal?.aborted === true;
  }

  async #claim(): Promise<void> {
    const { figures, organisationId } = this.#options;
    const at = this.#deed.now();
    const size = Math.min(figures.claimed, this.#left);
    const claim = { at, organisationId, token: randomUUID(), leaseUntil: this.#leaseFrom(at) };
    const rows: ClaimedRow[] = await this.#deed.store.writeSql(async (sql) => {
      await reapLeases(sql, at, {
        resendAt: addMinutes(at, figures.unknownMinutes),
        resends: figures.resends,
        fault: FATE_UNKNOWN,
      });
      const again = await claimLetters(sql, 'unknown', { ...claim, limit: size });
      const limit = size - again.length;
      return limit === 0
        ? again
        : [...again, ...(await claimLetters(sql, 'planned', { ...claim, limit }))];
    });
    this.#left -= rows.length;
    if (rows.length === 0 || this.#left === 0) this.#exhausted = true;
    const { leaving, cancelled } = await sayableNow(this.#deed.store, rows, at, figures);
    this.#claimed.push(...leaving);
    this.counts.cancelled += cancelled;
  }

  #leaseFrom(at: Instant): Instant {
    return addMinutes(at, this.#options.figures.leaseMinutes);
  }

  /** Writes down the ended letters and marks the next ones, in one transaction. */
  async #record(): Promise<void> {
    const ended = this.#ended.splice(0);
    const room = this.#stopping() ? 0 : 2 * this.#width - this.#flying - this.#ready.length;
    const next = this.#claimed.splice(0, Math.max(0, room));
    if (ended.length === 0 && next.length === 0) return;
    const at = this.#deed.now();
    const turns = next.map((leaving) => ({ leaving, turn: this.#turnOf(leaving, at) }));
    const due = turns.filter(({ turn }) => turn <= at).map(({ leaving }) => leaving);
    const done = await this.#write(async () =>
      this.#deed.store.writeSql(async (sql) => {
        const cancelled = await recordEnded(sql, ended, at, this.#options.figures);
        for (const { leaving, turn } of turns) {
          if (turn > at) await putBack(sql, leaving.letter, turn);
        }
        const letters = due.map(({ letter }) => letter);
        const begun = await beginSending(sql, letters, at, this.#leaseFrom(at));
        const kept = letters.filter(({ id }) => !begun.has(id));
        return { begun, cancelled: cancelled + (await keepUnwelcome(sql, kept, at)) };
      }),
    );
    this.counts.cancelled += done.cancelled;
    for (const leaving of due) {
      if (done.begun.has(leaving.letter.id)) this.#ready.push({ leaving, startedAt: at });
    }
  }

  #turnOf(leaving: Leaving, at: Instant): Instant {
    const turn = this.#options.limits?.turnOf(leaving.letter, at) ?? at;
    return turn > at ? openingFor(leaving, turn) : turn;
  }

  /** What was sent must be written down, or it would be sent twice: one fault is not the end. */
  async #write<T>(work: () => Promise<T>): Promise<T> {
    for (let attempt = 1; ; attempt++) {
      try {
        return await work();
      } catch (fault) {
        if (attempt >= WRITE_ATTEMPTS) throw fault;
      }
    }
  }

  #launch(): void {
    while (!this.#stopping() && this.#flying < this.#width) {
      const next = this.#ready.shift();
      if (next === undefined) return;
      this.#flying++;
      void this.#fly(next);
    }
  }

  async #fly(flight: { leaving: Leaving; startedAt: Instant }): Promise<void> {
    const outcome = await this.#send(flight.leaving);
    this.#flying--;
    this.#end({ ...flight, outcome });
  }

  async #send({ letter, house }: Leaving): Promise<SendOutcome> {
    try {
      return await this.#sender.send(outgoingOf(letter, house, this.#options.head));
    } catch (fault) {
      return unbuildable(fault);
    }
  }

  #end(flight: { leaving: Leaving; startedAt: Instant; outcome: SendOutcome }): void {
    const { outcome, leaving } = flight;
    if (outcome.kind === 'refused' && outcome.badAddress) {
      this.#unready(({ letter }) => letter.addressHash === leaving.letter.addressHash);
    }
    this.#ended.push({
      ...flight,
      at: this.#deed.now(),
      opening: (instant) => openingFor(leaving, instant),
    });
    this.counts[COUNTED_AS[outcome.kind]]++;
    const unreachable = outcome.kind === 'retry' && outcome.code === undefined;
    this.#faultsInARow = unreachable ? this.#faultsInARow + 1 : 0;
    if (outcome.kind === 'configuration') this.#stopped = true;
    else if (this.#faultsInARow >= this.#options.figures.connectionFaults) this.#stopped = true;
    else if (!unreachable) this.#width = this.#options.figures.parallel;
    this.#launch();
    const gathered = this.#ended.length >= this.#width;
    const starving = this.#ready.length === 0 && this.#claimed.length > 0;
    if (gathered || starving || this.#flying === 0) this.#wake?.();
    else if (this.#ended.length === 1) setTimeout(() => this.#wake?.(), GATHER_MS);
  }

  /** Marked letters that were not handed over yet are as they were before. */
  #unready(which: (leaving: Leaving) => boolean = () => true): void {
    const ready = this.#ready.splice(0);
    this.#ready.push(...ready.filter(({ leaving }) => !which(leaving)));
    for (const { leaving, startedAt } of ready.filter((one) => which(one.leaving))) {
      this.#ended.push({
        leaving,
        startedAt,
        outcome: null,
        at: this.#deed.now(),
        opening: (instant) => instant,
      });
    }
  }

  /** Waits until letters ended. */
  #news(): Promise<void> {
    return new Promise((resolve) => {
      this.#wake = () => {
        this.#wake = null;
        resolve();
      };
      if (this.#flying === 0) this.#wake();
    });
  }

  /** After a stop or a fault: claimed letters go back, and those in flight are waited for. */
  async #giveBack(): Promise<void> {
    this.#unready();
    while (this.#flying > 0) await this.#news();
    const claimed = this.#claimed.splice(0);
    if (claimed.length > 0) {
      await this.#deed.store.writeSql(async (sql) => {
        for (const { letter } of claimed) await putBack(sql, letter, letter.nextTryAt);
      });
    }
    await this.#record();
  }
}

const COUNTED_AS = {
  sent: 'delivered',
  retry: 'retried',
  refused: 'refused',
  unknown: 'unknown',
  configuration: 'retried',
} as const satisfies Record<SendOutcome['kind'], keyof DeliveryCounts>;
