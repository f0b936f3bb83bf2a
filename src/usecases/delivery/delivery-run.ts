import { randomUUID } from 'node:crypto';
import { setTimeout as sleep } from 'node:timers/promises';
import type { Instant } from '../../domain/calendar/instant.ts';
import { addMinutes } from '../../domain/calendar/instant.ts';
import type { DeliveryFigures } from '../../domain/letters/delivery-figures.ts';
import type { BeforeEnd, Sender, SendOutcome } from '../../mail/sender.ts';
import type { OutgoingLetter } from '../../mail/outgoing.ts';
import { unbuildable } from '../../mail/send-outcome.ts';
import type { ClaimedRow } from '../../store/letters/delivery-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { takeBack } from '../../store/letters/delivery-rows.ts';
import type { Context } from '../context/context.ts';
import { watched } from '../context/watch.ts';
import type { Letterhead } from './delivery-letter.ts';
import { outgoingOf } from './delivery-letter.ts';
import type { DeliveryLimits } from './delivery-limits.ts';
import type { Ended } from './delivery-record.ts';
import type { Dispatch, Sayable } from './delivery-truth.ts';
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
  readonly holder: string | null;
}

export type DeliveryCounts = Record<
  'delivered' | 'retried' | 'refused' | 'unknown' | 'cancelled' | 'setAside',
  number
>;

// So long an ended letter waits for others before it is written down with them in one commit, and so
// long letters that end are counted to tell how quick the mail server is.
const GATHER_MS = 75;
// So long a letter waits for its mark, and as long again while others come to ask, so that those that
// are about to end share the commit.
const ASK_MS = 10;
// So many that wait for their mark are worth a commit, where more are in flight.
const MARKS_AT_ONCE = 15;
// So many times the usual number of letters is in flight while the mail server is so quick that it would
// wait for our disk, and so many times as many are then claimed ahead, whenever less than once as many
// are ready: many are looked through with little more work than few.
const QUICK = 3;
const AHEAD = 3;
const MOST_LOOK_AGAIN_MS = 5_000;
// So many letters are looked through at once where none may leave.
const BUNDLE = 100;
const WRITE_ATTEMPTS = 4;
const WRITE_PAUSE_MS = 100;

/**
 * One run of the delivery. Letters go through four hands: ready (claimed, true, welcome), flying (with
 * the sender), asking (all but the final dot is out), ended (to be written down). One transaction
 * writes down the ended, marks the asking and makes the next ones ready, so that the disk is asked
 * once for several letters; nothing is sent while it is open, and nothing unmarked is ended. So a
 * process that dies leaves only those in doubt of which the dot was out.
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
  readonly #ready: Dispatch[] = [];
  readonly #asking: { letter: ClaimedRow; answer: (marked: boolean) => void }[] = [];
  /** Broken off before their end, because they could not be marked. */
  readonly #brokenOff: ClaimedRow[] = [];
  readonly #ended: Ended[] = [];
  #flying = 0;
  /** Of those flying, the ones that take so long that others no longer wait for them. */
  readonly #slow = new Set<Dispatch>();
  /** After a fault of the database: whoever asks is told no. */
  #deaf = false;
  /** One at a time until the mail server has shown that it answers. */
  #width = 1;
  /** The mail server takes letters so quickly that it would wait for our disk. */
  #quick = false;
  /** So many ended since the pace was last looked at. */
  #endedLately = 0;
  #pace: NodeJS.Timeout | undefined;
  /** The mail server wants fewer connections. */
  #narrow = false;
  #faultsInARow = 0;
  #left: number;
  #stopped = false;
  #exhausted = false;
  #nothingLeft = false;
  /** When to look again for leases that ran out and letters of unknown fate: they are few. */
  #strayAt: Instant = '';
  /**
   * Tokens of claims whose commit failed or was never answered. It may have been made all the same,
   * and must not leave letters claimed that nobody sends.
   */
  readonly #unanswered: string[] = [];
  #wake: (() => void) | null = null;
  /** So often new letters are looked for while those in flight hang. */
  readonly #lookAgainMs: number;
  #timer: NodeJS.Timeout | undefined;
  #timerMs = Infinity;

  constructor(context: Context, sender: Sender, options: RunOptions) {
    this.#context = context;
    this.#sender = sender;
    this.#options = options;
    this.#left = options.limit;
    this.#lookAgainMs = Math.min(MOST_LOOK_AGAIN_MS, options.figures.slowSeconds * 500);
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
      clearTimeout(this.#pace);
    }
  }

  #stopping(): boolean {
    return this.#stopped || this.#options.signal?.aborted === true;
  }

  #idle(): boolean {
    const { length } = [...this.#ready, ...this.#asking, ...this.#ended, ...this.#brokenOff];
    return this.#flying === 0 && length === 0;
  }

  /** In one transaction: writes down the ended, marks those that ask, and claims the next. */
  async #turnOver(): Promise<void> {
    const { figures, organisationId, holder } = this.#options;
    const ended = this.#ended.splice(0);
    const asking = this.#asking.splice(0);
    const room = this.#room();
    // Where nothing may leave, at night for one, whole bundles are looked through.
    const size = this.#nothingLeft && room > 0 ? Math.min(BUNDLE, this.#left) : room;
    const at = this.#context.now();
    const idle = ended.length + asking.length + size + this.#unanswered.length === 0;
    if (!idle) {
      const strays = at >= this.#strayAt;
      const turnOf = (sayable: Sayable) => this.#turnOf(sayable, at);
      const turn = { at, ended, asking: asking.map(({ letter }) => letter), size, room, strays };
      let done: TurnDone;
      try {
        done = await watched(
          { kind: 'work', name: 'delivery batch', facts: {} },
          () =>
            this.#write(async (sql) => {
              for (const token of this.#unanswered) await takeBack(sql, token);
              const token = randomUUID();
              this.#unanswered.push(token);
              return takeTurn(sql, { ...turn, token, organisationId, holder, figures, turnOf });
            }),
          ({ claimed }) => ({
            'foldkeep.claimed': claimed,
            'foldkeep.ended': ended.length,
            'foldkeep.marked': asking.length,
          }),
        );
      } catch (fault) {
        this.#ended.unshift(...ended);
        for (const { answer } of asking) answer(false);
        throw fault;
      }
      // The last commit was answered; whether those before it ever come is settled at the end.
      this.#unanswered.pop();
      for (const { letter, answer } of asking) answer(done.marked.has(letter.id));
      this.counts.cancelled += done.cancelled;
      this.counts.setAside += done.setAside;
      if (size > 0) this.#nothingLeft = done.ready.length === 0;
      this.#ready.push(...done.ready);
      if (strays && size > 0 && !done.moreStrays) this.#strayAt = addMinutes(at, 1);
      this.#left -= done.claimed;
      if (size > 0 && (done.claimed === 0 || this.#left === 0)) this.#exhausted = true;
      if (done.doubtful.length > 0) await this.#weed(done.doubtful, at);
    }
    const brokenOff = this.#brokenOff.splice(0);
    if (brokenOff.length > 0) await this.#weed(brokenOff, at);
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
    if (this.#stopping() || this.#exhausted || this.#stuck()) return 0;
    const most = this.#most();
    const ahead = this.#quick ? AHEAD * most : 0;
    if (ahead > 0 && this.#ready.length >= most) return 0;
    const room = most + ahead - this.#crowding() - this.#ready.length;
    return Math.max(0, Math.min(room, this.#left));
  }

  /** In flight and not slow: so many take up the width. */
  #crowding(): number {
    return this.#flying - this.#slow.size;
  }

  /** So many may be in flight. */
  #most(): number {
    const usual = !this.#quick || this.#narrow || this.#width === 1;
    return usual ? this.#width : QUICK * this.#width;
  }

  /** Whether so many letters hang that there is no sense in sending others beside them. */
  #stuck(): boolean {
    return this.#slow.size >= this.#options.figures.slowMost;
  }

  /** Whether a letter to the same domain hangs. */
  #isHeldUp({ letter }: Sayable): boolean {
    const domain = domainOf(letter);
    return [...this.#slow].some((one) => domainOf(one.letter) === domain);
  }

  #turnOf(sayable: Sayable, at: Instant): Instant {
    const held = addMinutes(at, this.#options.figures.slowMinutes);
    if (this.#isHeldUp(sayable)) return openingFor(sayable, held);
    const turn = this.#options.limits?.turnOf(sayable.letter, at) ?? at;
    return turn > at ? openingFor(sayable, turn) : turn;
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
    if (this.#slow.size > 0) this.#unready((dispatch) => this.#isHeldUp(dispatch));
    while (!this.#stopping() && !this.#stuck() && this.#crowding() < this.#most()) {
      const next = this.#ready.shift();
      if (next === undefined) return;
      this.#flying++;
      void this.#fly(next);
    }
  }

  async #fly(dispatch: Dispatch): Promise<void> {
    const startedAt = this.#context.now();
    let refused = false;
    const watch = setTimeout(() => {
      this.#slow.add(dispatch);
      this.#wake?.();
    }, this.#options.figures.slowSeconds * 1_000);
    const outcome = await this.#send(dispatch, async () => {
      const marked = await this.#ask(dispatch.letter);
      refused = !marked;
      return marked;
    });
    clearTimeout(watch);
    this.#slow.delete(dispatch);
    this.#flying--;
    if (!refused) {
      this.#end({ dispatch, startedAt, outcome });
      return;
    }
    this.#brokenOff.push(dispatch.letter);
    this.#wake?.();
  }

  /** Whether the letter was marked, and may end. */
  async #ask(letter: ClaimedRow): Promise<boolean> {
    if (this.#deaf) return false;
    return new Promise((answer) => {
      this.#asking.push({ letter, answer });
      this.#gather();
    });
  }

  async #send(
    { letter, organisation, body }: Dispatch,
    beforeEnd: BeforeEnd,
  ): Promise<SendOutcome> {
    let outgoing: OutgoingLetter;
    try {
      if (body === null) throw new Error('what it says is missing in the database');
      outgoing = outgoingOf({ ...letter, ...body }, organisation, this.#options.head);
    } catch (fault) {
      return unbuildable(fault);
    }
    try {
      return await this.#sender.send(outgoing, beforeEnd);
    } catch (fault) {
      // A sender promises not to do this; if it does, nobody knows how far it came.
      return { kind: 'unknown', detail: String(fault) };
    }
  }

  #end(flight: { dispatch: Dispatch; startedAt: Instant; outcome: SendOutcome }): void {
    const { outcome, dispatch } = flight;
    if (outcome.kind === 'refused' && outcome.verdict === 'dead') {
      this.#unready(({ letter }) => letter.addressHash === dispatch.letter.addressHash);
    }
    this.#ended.push({
      ...flight,
      at: this.#context.now(),
      chance: this.#options.chance(),
      opening: (instant) => openingFor(dispatch, instant),
    });
    this.counts[COUNTED_AS[outcome.kind]]++;
    const unreachable = outcome.kind === 'retry' && outcome.code === undefined;
    this.#faultsInARow = unreachable ? this.#faultsInARow + 1 : 0;
    if (outcome.kind === 'retry' && outcome.code === 421) this.#narrow = true;
    if (outcome.kind === 'configuration') this.#stopped = true;
    else if (this.#faultsInARow >= this.#options.figures.connectionFaults) this.#stopped = true;
    else if (!unreachable) {
      this.#width = this.#options.figures.parallel;
      this.#watchPace();
    }
    this.#launch();
    this.#gather();
  }

  /**
   * A mail server to which the usual number of letters ended within a short while gets more at once and
   * has letters claimed ahead, so that it need not wait for our disk.
   */
  #watchPace(): void {
    this.#endedLately++;
    if (this.#endedLately >= this.#width) this.#quick = true;
    this.#pace ??= setTimeout(() => {
      this.#quick = this.#endedLately >= this.#width;
      this.#endedLately = 0;
      this.#pace = undefined;
    }, GATHER_MS);
  }

  /**
   * Wakes the run when all in flight wait for their mark, when enough letters ended to be worth a
   * commit, or after a short while.
   */
  #gather(): void {
    const asking = this.#asking.length;
    // Those that ended are written down with the next marks, which are not long in coming.
    const all = Math.min(MARKS_AT_ONCE, this.#crowding());
    if (this.#flying === 0 || (asking > 0 && asking >= all)) this.#wake?.();
    else if (asking > 0) this.#wakeAfter(ASK_MS);
    else if (this.#ended.length > 0) this.#wakeAfter(GATHER_MS);
  }

  #wakeAfter(ms: number): void {
    if (this.#wake === null || this.#timerMs <= ms) return;
    clearTimeout(this.#timer);
    this.#timerMs = ms;
    const asking = this.#asking.length;
    this.#timer = setTimeout(() => {
      if (ms === this.#lookAgainMs) this.#exhausted = this.#left === 0;
      if (ms === ASK_MS) this.#wakeUnlessMoreAsk(asking);
      else this.#wake?.();
    }, ms);
  }

  /** Sending takes the thread longer than the wait, so what came in meanwhile is heard first. */
  #wakeUnlessMoreAsk(asking: number): void {
    const wake = this.#wake;
    setImmediate(() => {
      if (wake === null || this.#wake !== wake) return;
      this.#timerMs = Infinity;
      if (this.#asking.length > asking) this.#wakeAfter(ASK_MS);
      else wake();
    });
  }

  /** Claimed letters that were not handed over yet are as they were before. */
  #unready(which: (dispatch: Dispatch) => boolean = () => true): void {
    const ready = this.#ready.splice(0);
    this.#ready.push(...ready.filter((dispatch) => !which(dispatch)));
    const at = this.#context.now();
    for (const dispatch of ready.filter((one) => which(one))) {
      const opening = (instant: Instant) => instant;
      this.#ended.push({ dispatch, startedAt: at, outcome: null, at, chance: 0, opening });
    }
  }

  /** Waits until there is something to do. */
  async #news(): Promise<void> {
    await new Promise<void>((resolve) => {
      this.#wake = resolve;
      this.#gather();
      // Whatever hangs must not keep letters waiting that are written meanwhile.
      if (this.#crowding() === 0) this.#wakeAfter(this.#lookAgainMs);
    });
    this.#wake = null;
    clearTimeout(this.#timer);
    this.#timerMs = Infinity;
  }

  /** After a stop or a fault: those in flight are waited for and written down. */
  async #giveBack(): Promise<void> {
    this.#unready();
    try {
      await this.#landAll();
    } catch {
      this.#deaf = true;
      await this.#landAll();
    }
  }

  async #landAll(): Promise<void> {
    while (!this.#idle()) {
      if (this.#flying > 0 && this.#asking.length === 0) await this.#news();
      if (!this.#deaf || this.#flying === 0) await this.#turnOver();
    }
  }
}

function domainOf({ toAddress }: ClaimedRow): string {
  return toAddress.slice(toAddress.lastIndexOf('@') + 1).toLowerCase();
}

const COUNTED_AS = {
  sent: 'delivered',
  retry: 'retried',
  refused: 'refused',
  unknown: 'unknown',
  configuration: 'retried',
} as const satisfies Record<SendOutcome['kind'], keyof DeliveryCounts>;
