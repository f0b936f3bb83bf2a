import type { Instant } from '../../domain/calendar/instant.ts';
import { msOf, toInstant } from '../../domain/calendar/instant.ts';
import type { DeliveryLimitFigures } from '../../domain/letters/delivery-figures.ts';
import { LIMIT_DEFAULTS } from '../../domain/letters/delivery-figures.ts';

const MINUTE = 60_000;
// A letter that is this late for its turn has lost it, else a night of put-off letters would all
// leave together in the morning.
const TURN_KEPT_MS = 2 * MINUTE;
const TURNS_BEFORE_TIDYING = 10_000;

/**
 * Token buckets for letters through a mail server, one per organisation and one per receiving
 * domain, kept in memory: make one for the life of a process. Several processes on one database
 * each have their own, so each should be given its share.
 *
 * A letter that must wait is given its turn at once, so it is put off once and not asked again and
 * again.
 */
export class DeliveryLimits {
  readonly #figures: DeliveryLimitFigures;
  /** Per bucket, the instant (ms) at which it will be full again. */
  readonly #fullAt = new Map<string, number>();
  readonly #turns = new Map<string, number>();

  constructor(figures: DeliveryLimitFigures = LIMIT_DEFAULTS) {
    this.#figures = figures;
  }

  /** The first instant at which the letter may leave: `now`, or its turn later on. */
  turnOf(
    letter: {
      readonly id: string;
      readonly organisationId: string;
      readonly toAddress: string;
    },
    now: Instant,
  ): Instant {
    const at = msOf(now);
    const given = this.#turns.get(letter.id);
    if (given !== undefined) {
      if (given > at) return toInstant(given);
      this.#turns.delete(letter.id);
      if (at - given <= TURN_KEPT_MS) return now;
    }
    const f = this.#figures;
    const domain = letter.toAddress.slice(letter.toAddress.lastIndexOf('@') + 1).toLowerCase();
    const turn = Math.max(
      this.#take(`o:${letter.organisationId}`, f.organisationBurst, f.organisationPerMinute, at),
      this.#take(`d:${domain}`, f.domainBurst, f.domainPerMinute, at),
    );
    if (turn <= at) return now;
    this.#turns.set(letter.id, turn);
    if (this.#turns.size % TURNS_BEFORE_TIDYING === 0) this.#tidy(at);
    return toInstant(turn);
  }

  /** Takes a token from a bucket; the instant (ms) from which it counts. */
  #take(key: string, burst: number, perMinute: number, at: number): number {
    const perToken = MINUTE / perMinute;
    const fullAt = this.#fullAt.get(key) ?? 0;
    const turn = Math.max(at, Math.ceil(fullAt - (burst - 1) * perToken));
    this.#fullAt.set(key, Math.max(fullAt, turn) + perToken);
    return turn;
  }

  #tidy(at: number): void {
    for (const [id, turn] of this.#turns) if (at - turn > TURN_KEPT_MS) this.#turns.delete(id);
    for (const [key, fullAt] of this.#fullAt) if (fullAt <= at) this.#fullAt.delete(key);
  }
}
