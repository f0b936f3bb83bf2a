import { setTimeout as sleep } from 'node:timers/promises';
import { openWorkshop } from '../setup/workshop.ts';
import type { Answer, Workshop } from '../setup/workshop.ts';
import type { Breakable } from './breakable-databases.ts';

export interface RetriedReport {
  readonly name: string;
  readonly breaks: number;
  /** Writes that were sent, each until it was acknowledged. */
  readonly writes: number;
  /** Answers on the way that asked to try again. */
  readonly refusals: Readonly<Record<number, number>>;
  /** Writes that were still not done long after the database was back. The goal is 0. */
  readonly stuck: number;
  /** Records that are there twice. The goal is 0. */
  readonly duplicates: number;
  /** Acknowledged writes of which the record is not there. The goal is 0. */
  readonly lost: number;
  /** Answers of 500 and above that are no 503 with Retry-After as a problem document. The goal is 0. */
  readonly crude: number;
}

/** What has to be nothing. */
export const RETRIED_GOALS = ['stuck', 'duplicates', 'lost', 'crude'] as const;

const WRITERS = 4;
const DOWN_MS = 250;
const UP_MS = 500;
// What the log of PostgreSQL still has room for is written for a while.
const LONGEST_DOWN_MS = 15_000;
const PATIENCE_MS = 20_000;

/**
 * Breaks a database again and again under writers that send each write, under its own
 * Idempotency-Key, until it is acknowledged, as a client in the field does; then counts.
 */
export async function retriedWrites(
  name: string,
  made: Promise<Breakable>,
  breaks: number,
): Promise<RetriedReport> {
  const database = await made;
  const shop = await openWorkshop('2026-06-12T09:00:00.000Z', database.url);
  const tally = new Tally(shop);
  try {
    const writers = Array.from({ length: WRITERS }, (_, n) => tally.keepWriting(n));
    for (let n = 0; n < breaks; n++) {
      await Promise.all([sleep(UP_MS), tally.writesAgain()]);
      await database.break();
      await Promise.all([sleep(DOWN_MS), tally.meetsIt()]);
      await database.mend();
    }
    await sleep(UP_MS);
    tally.over = Date.now();
    await Promise.all(writers);
    return { name, breaks, ...(await tally.report()) };
  } finally {
    await shop.close();
    await database.remove();
  }
}

class Tally {
  over = Infinity;
  readonly #shop: Workshop;
  readonly #acknowledged = new Set<string>();
  readonly #refusals: Record<number, number> = {};
  #stuck = 0;
  #crude = 0;

  constructor(shop: Workshop) {
    this.#shop = shop;
  }

  async keepWriting(writer: number): Promise<void> {
    for (let n = 0; Date.now() < this.over; n++) await this.#write(`w${writer}-${n}@example.org`);
  }

  /** Returns once every writer had one more acknowledged, as far as one can tell, or none has for long. */
  async writesAgain(): Promise<void> {
    const enough = this.#acknowledged.size + WRITERS;
    const until = Date.now() + PATIENCE_MS;
    while (this.#acknowledged.size < enough && Date.now() < until) await sleep(20);
  }

  /** Returns once a write met the break, or where none does for long. */
  async meetsIt(): Promise<void> {
    const before = this.#refused();
    const until = Date.now() + LONGEST_DOWN_MS;
    while (this.#refused() === before && Date.now() < until) await sleep(20);
  }

  #refused(): number {
    return Object.values(this.#refusals).reduce((sum, n) => sum + n, 0);
  }

  async #write(email: string): Promise<void> {
    const key = { 'idempotency-key': `"${email}"` };
    for (;;) {
      const answer = await this.#shop.post('/v1/owners', { name: 'Ada Quill', email }, key);
      if (answer.status === 201) break;
      this.#refusals[answer.status] = (this.#refusals[answer.status] ?? 0) + 1;
      if (answer.status >= 500 && !isPatient(answer)) this.#crude++;
      if (Date.now() > this.over + PATIENCE_MS) {
        this.#stuck++;
        return;
      }
      await sleep(20);
    }
    this.#acknowledged.add(email);
  }

  async report() {
    const rows = await this.#shop.context.store.sql.all<{ email: string }>(
      'SELECT "email" FROM "owner"',
    );
    const there = new Set(rows.map(({ email }) => email));
    return {
      writes: this.#acknowledged.size + this.#stuck,
      refusals: this.#refusals,
      stuck: this.#stuck,
      duplicates: rows.length - there.size,
      lost: [...this.#acknowledged].filter((email) => !there.has(email)).length,
      crude: this.#crude,
    };
  }
}

function isPatient({ status, headers }: Answer): boolean {
  const type = headers['content-type'];
  return (
    status === 503 &&
    typeof type === 'string' &&
    type.startsWith('application/problem+json') &&
    Number(headers['retry-after']) > 0
  );
}
