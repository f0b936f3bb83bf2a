import { randomUUID } from 'node:crypto';
import { setTimeout as sleep } from 'node:timers/promises';
import type { Instant } from '../../domain/calendar/instant.ts';
import { addMinutes } from '../../domain/calendar/instant.ts';
import type { DeliveryFigures } from '../../domain/letters/delivery-figures.ts';
import type { Sender, SendOutcome } from '../../mail/sender.ts';
import type { OutgoingLetter } from '../../mail/outgoing.ts';
import { unbuildable } from '../../mail/send-outcome.ts';
import type { ClaimedRow } from '../../store/letters/delivery-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { takeBack } from '../../store/letters/delivery-rows.ts';
import type { Context } from '../context/context.ts';
import type { Letterhead } from './delivery-letter.ts';
import { outgoingOf } from './delivery-letter.ts';
import type { DeliveryLimits } from './delivery-limits.ts';
import type { Ended } from './delivery-record.ts';
import type { Leaving } from './delivery-truth.ts';
import { openingFor, weedOut, wordsOf } from './delivery-truth.ts';
import type { TurnDone } from './delivery-turn.ts';
import { setAside, takeTurn } from './delivery-turn.ts';

export interface RunOptions {
  readonly head: Letterhead;
  readonly figures: DeliveryFigures;
  readonly chance: () => number;
  readonly limits: DeliveryLimits | null;
  readonly signal: AbortSignal | null;
  readonly limit: number;
  readonly organisationId: string | null;
}

export type DeliveryCounts = Record<
  'delivered' | 'retried' | 'refused' | 'unknown' | 'cancelled' | 'setAside',
  number
>;

// So long an ended letter waits for others before it is written down with them in one commit.
const GATHER_MS = 75;
// A commit for so many times the letters in flight, while the mail server is quick: more would be
// quicker still, but a crash repeats what was not written down yet.
const PER_COMMIT = 3;
// So many letters are looked through at once where none may leave.
const BUNDLE = 100;
const WRITE_ATTEMPTS = 4;
const WRITE_PAUSE_MS = 100;

/**
 * One run of the delivery. Letters go through three hands: ready (claimed, true, marked as begun),
 * flying (with the sender), ended (to be written down). One transaction writes down the ended and
 * makes the next ones ready, so that the disk is asked once for several letters; nothing is sent
 * while it is open, and nothing unmarked is sent.
 */
export class DeliveryRun {
  readonly counts: DeliveryCounts = {
    delivered: 0,
    retried: 0,
    refused: 0,
    unknown: 0,
    cancelled: 0,
    setAside: 0,
  };
  readonly #context: Context;
  readonly #sender: Sender;
  readonly #options: RunOptions;
  readonly #ready: { leaving: Leaving; startedAt: Instant }[] = [];
  readonly #ended: Ended[] = [];
  #flying = 0;
  /** One at a time until the mail server has shown that it answers. */
  #width = 1;
  /** So many are marked ahead of those in flight, while the mail server is quick. */
  #ahead = 0;
  #faultsInARow = 0;
  #left: number;
  #stopped = false;
  #exhausted = false;
  #barren = false;
  /** When to look again for leases that ran out and letters of unknown fate: they are few. */
  #strayAt: Instant = '';
  /**
   * Claims whose commit failed or was never answered. It may have been made all the same, and must
   * not leave letters marked that nobody sends.
   */
  readonly #unanswered: { readonly token: string; readonly at: Instant }[] = [];
  #wake: (() => void) | null = null;
  #timer: NodeJS.Timeout | undefined;

  constructor(context: Context, sender: Sender, options: RunOptions) {
    this.#context = context;
    this.#sender = sender;
    this.#options = options;
    this.#left = options.limit;
  }

  /** Delivers until nothing is left, the signal stops it, or the mail server shows no sense in it. */
  async finish(): Promise<DeliveryCounts> {
    try {
      for (;;) {
        if (this.#stopping()) this.#unready();
        await this.#turnOver();
        this.#launch();
        if (this.#flying > 0) await this.#news();
        else if (this.#idle() && (this.#stopping() || this.#exhausted)) break;
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

  #idle(): boolean {
    return this.#flying === 0 && this.#ready.length === 0 && this.#ended.length === 0;
  }

  /** In one transaction: writes down the ended, claims the next and marks those that may leave. */
  async #turnOver(): Promise<void> {
    const { figures, organisationId } = this.#options;
    const ended = this.#ended.splice(0);
    const room = this.#room();
    // Where nothing may leave, at night for one, whole bundles are looked through.
    const size = this.#barren && room > 0 ? Math.min(BUNDLE, this.#left) : room;
    if (ended.length === 0 && size === 0 && this.#unanswered.length === 0) return;
    const at = this.#context.now();
    const strays = at >= this.#strayAt;
    const turnOf = (leaving: Leaving) => this.#turnOf(leaving, at);
    const again = Math.max(0, this.#width - this.#flying - this.#ready.length);
    const turn = { at, ended, size, room, again, strays, organisationId, figures, turnOf };
    let done: TurnDone;
    try {
      done = await this.#write(async (sql) => {
        for (const one of this.#unanswered) await takeBack(sql, one);
        const token = randomUUID();
        this.#unanswered.push({ token, at });
        return takeTurn(sql, { ...turn, token });
      });
    } catch (fault) {
      this.#ended.unshift(...ended);
      throw fault;
    }
    // The last commit was answered; whether those before it ever come is settled at the end.
    this.#unanswered.pop();
    this.counts.cancelled += done.cancelled;
    this.counts.setAside += done.setAside;
    if (size > 0) this.#barren = done.ready.length === 0;
    for (const leaving of done.ready) this.#ready.push({ leaving, startedAt: at });
    if (done.doubtful.length > 0) await this.#weed(done.doubtful, at);
    if (strays && size > 0 && !done.moreStrays) this.#strayAt = addMinutes(at, 1);
    this.#left -= done.claimed;
    if (size > 0 && (done.claimed === 0 || this.#left === 0)) this.#exhausted = true;
  }

  /** Decides about doubtful letters; where a record cannot be read, about one after the other. */
  async #weed(doubtful: readonly ClaimedRow[], at: Instant): Promise<void> {
    const { figures } = this.#options;
    try {
      this.counts.cancelled += await this.#write((sql) => weedOut(sql, doubtful, at, figures));
    } catch (fault) {
      const [only, ...more] = doubtful;
      if (only === undefined) return;
      if (more.length > 0) {
        for (const letter of doubtful) await this.#weed([letter], at);
        return;
      }
      await this.#write((sql) => setAside(sql, only, wordsOf(fault), at, figures));
      this.counts.setAside++;
    }
  }

  #room(): number {
    if (this.#stopping() || this.#exhausted) return 0;
    const room = this.#width + this.#ahead - this.#flying - this.#ready.length;
    return Math.max(0, Math.min(room, this.#left));
  }

  #turnOf(leaving: Leaving, at: Instant): Instant {
    const turn = this.#options.limits?.turnOf(leaving.letter, at) ?? at;
    return turn > at ? openingFor(leaving, turn) : turn;
  }

  /** What was sent must be written down, or it would be sent twice: one fault is not the end. */
  async #write<T>(work: (sql: Sql) => Promise<T>): Promise<T> {
    for (let attempt = 1; ; attempt++) {
      try {
        return await this.#context.store.writeSql(work);
      } catch (fault) {
        if (attempt >= WRITE_ATTEMPTS) throw fault;
        await sleep(WRITE_PAUSE_MS * attempt);
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
    let outgoing: OutgoingLetter;
    try {
      outgoing = outgoingOf(letter, house, this.#options.head);
    } catch (fault) {
      return unbuildable(fault);
    }
    try {
      return await this.#sender.send(outgoing);
    } catch (fault) {
      // A sender promises not to do this; if it does, nobody knows how far it came.
      return { kind: 'unknown', detail: String(fault) };
    }
  }

  #end(flight: { leaving: Leaving; startedAt: Instant; outcome: SendOutcome }): void {
    const { outcome, leaving } = flight;
    if (outcome.kind === 'refused' && outcome.verdict === 'dead') {
      this.#unready(({ letter }) => letter.addressHash === leaving.letter.addressHash);
    }
    this.#ended.push({
      ...flight,
      at: this.#context.now(),
      chance: this.#options.chance(),
      opening: (instant) => openingFor(leaving, instant),
    });
    this.counts[COUNTED_AS[outcome.kind]]++;
    const unreachable = outcome.kind === 'retry' && outcome.code === undefined;
    this.#faultsInARow = unreachable ? this.#faultsInARow + 1 : 0;
    if (outcome.kind === 'configuration') this.#stopped = true;
    else if (this.#faultsInARow >= this.#options.figures.connectionFaults) this.#stopped = true;
    else if (!unreachable) this.#width = this.#options.figures.parallel;
    this.#launch();
    this.#gather();
  }

  /**
   * Wakes the run when enough letters ended to be worth a commit, or after a short while. A mail
   * server that is quick enough to fill that while gets letters marked ahead, so that it need not
   * wait for our disk; a slow one gets none, so that a letter is marked just before it leaves.
   */
  #gather(): void {
    const enough = this.#ahead === 0 ? this.#width : PER_COMMIT * this.#width;
    if (this.#ended.length >= enough) {
      this.#ahead = PER_COMMIT * this.#width;
      this.#wake?.();
    } else if (this.#flying === 0) this.#wake?.();
    else if (this.#ended.length > 0 && this.#wake !== null) {
      this.#timer ??= setTimeout(() => {
        this.#ahead = 0;
        this.#wake?.();
      }, GATHER_MS);
    }
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
        at: this.#context.now(),
        chance: 0,
        opening: (instant) => instant,
      });
    }
  }

  /** Waits until letters ended. */
  async #news(): Promise<void> {
    await new Promise<void>((resolve) => {
      this.#wake = resolve;
      this.#gather();
    });
    this.#wake = null;
    clearTimeout(this.#timer);
    this.#timer = undefined;
  }

  /** After a stop or a fault: those in flight are waited for and written down. */
  async #giveBack(): Promise<void> {
    this.#unready();
    while (this.#flying > 0) await this.#news();
    await this.#turnOver();
  }
}

const COUNTED_AS = {
  sent: 'delivered',
  retry: 'retried',
  refused: 'refused',
  unknown: 'unknown',
  configuration: 'retried',
} as const satisfies Record<SendOutcome['kind'], keyof DeliveryCounts>;
