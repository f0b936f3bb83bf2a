import type BetterSqlite3 from 'better-sqlite3';
import { Semaphore } from 'async-mutex';
import type { SharedSync } from '../files/shared-sync.ts';

// So many deeds share a commit at the most, for the first of them waits until the last is done.
const MOST_DEEDS = 64;
// Before whoever else waits for a turn: what is done is kept before more is begun.
const NEXT = 1;

/** Deeds that are kept or lost together. */
interface Group {
  deeds: number;
  /** Fulfilled once they are kept, rejected where they are lost. */
  readonly kept: Promise<void>;
  readonly keep: () => void;
  readonly lose: (fault: unknown) => void;
}

type Outcome<T> = { readonly result: T } | { readonly fault: unknown };

/**
 * The turns of the one writing connection. Its deeds are done one after the other, and those that come
 * while the thread looks what has come in share one commit, for the disk takes longer to keep a deed
 * than the deed takes. Each has a savepoint of its own and is undone by itself where it throws; it is
 * told that it is done, or why it is not, when all are kept: so nothing is answered that a fault of the
 * disk could still take back, and nobody is refused for what somebody else did in vain.
 *
 * The disk is waited for without holding the thread: with "synchronous" at NORMAL a commit in WAL mode is
 * all that it is at FULL but for one sync of the log after it
 * (https://www.sqlite.org/pragma.html#pragma_synchronous), and that sync is asked for here.
 */
export class SharedCommits {
  readonly #handle: BetterSqlite3.Database;
  readonly #log: SharedSync;
  readonly #turns = new Semaphore(1);
  readonly #say: Readonly<Record<keyof typeof WORDS, () => void>>;
  #open: Group | null = null;

  constructor(handle: BetterSqlite3.Database, log: SharedSync) {
    this.#handle = handle;
    this.#log = log;
    handle.pragma('synchronous = NORMAL');
    const saying = (text: string) => {
      const statement = handle.prepare(text);
      return () => {
        statement.run();
      };
    };
    this.#say = {
      begin: saying(WORDS.begin),
      commit: saying(WORDS.commit),
      rollback: saying(WORDS.rollback),
      save: saying(WORDS.save),
      release: saying(WORDS.release),
      undo: saying(WORDS.undo),
    };
  }

  /**
   * Does a deed in its turn and in a transaction that others may share. Throws what the deed throws,
   * with nothing written by it, or the fault by which all that shared the transaction were lost.
   */
  async share<T>(deed: () => Promise<T>): Promise<T> {
    const { group, outcome } = await this.#inTurn(async () => {
      const joined = this.#open ?? this.#begin();
      const came = await this.#do(joined, deed);
      if (joined.deeds >= MOST_DEEDS) this.#commit(joined);
      return { group: joined, outcome: came };
    });
    await group.kept;
    if ('fault' in outcome) throw outcome.fault;
    return outcome.result;
  }

  /** Does work in its turn outside any transaction: it has its own, or needs none to be open. */
  alone<T>(work: () => Promise<T>): Promise<T> {
    return this.#inTurn(() => {
      if (this.#open !== null) this.#commit(this.#open);
      return work();
    });
  }

  async #inTurn<T>(work: () => Promise<T>, priority = 0): Promise<T> {
    const [, giveBack] = await this.#turns.acquire(1, priority);
    try {
      return await work();
    } finally {
      giveBack();
    }
  }

  #begin(): Group {
    this.#log.refuseAfterFault();
    this.#say.begin();
    const group = newGroup();
    this.#open = group;
    // Requests that came in together are read in one turn of the thread, which ends before this.
    setImmediate(() => {
      void this.#inTurn(async () => this.#commit(group), NEXT);
    });
    return group;
  }

  async #do<T>(group: Group, deed: () => Promise<T>): Promise<Outcome<T>> {
    const isFirst = group.deeds === 0;
    group.deeds += 1;
    try {
      if (!isFirst) this.#say.save();
      const result = await deed();
      if (!isFirst) this.#say.release();
      return { result };
    } catch (fault) {
      this.#undo(group, isFirst, fault);
      return { fault };
    }
  }

  #undo(group: Group, isFirst: boolean, fault: unknown): void {
    if (!isFirst && this.#handle.inTransaction) {
      try {
        this.#say.undo();
        this.#say.release();
      } catch (worse) {
        this.#forsake(group, worse);
      }
      return;
    }
    // SQLite gives up a whole transaction where the disk fails it.
    this.#forsake(group, fault);
  }

  /** Gives up what is open, and tells all who are in it. */
  #forsake(group: Group, fault: unknown): void {
    this.#open = null;
    group.lose(fault);
    if (!this.#handle.inTransaction) return;
    try {
      this.#say.rollback();
    } catch {
      // What stands against it the next deed meets at its beginning.
    }
  }

  #commit(group: Group): void {
    if (this.#open !== group) return;
    this.#open = null;
    try {
      this.#say.commit();
      this.#log.ask().then(group.keep, group.lose);
    } catch (fault) {
      this.#forsake(group, fault);
    }
  }
}

const WORDS = {
  begin: 'BEGIN IMMEDIATE',
  commit: 'COMMIT',
  rollback: 'ROLLBACK',
  save: 'SAVEPOINT "deed"',
  release: 'RELEASE SAVEPOINT "deed"',
  undo: 'ROLLBACK TO SAVEPOINT "deed"',
} as const;

function newGroup(): Group {
  let keep = (): void => undefined;
  let lose = (_fault: unknown): void => undefined;
  const kept = new Promise<void>((resolve, reject) => {
    keep = resolve;
    lose = reject;
  });
  return { deeds: 0, kept, keep, lose };
}
