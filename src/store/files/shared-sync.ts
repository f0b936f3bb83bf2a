import { closeSync, fdatasync, openSync } from 'node:fs';

/** A file whose writes are to be kept by the disk. */
export interface SyncedFile {
  /** Fulfilled once the disk has all that was written before. */
  sync(): Promise<void>;
  close(): void;
}

/** The file of this name, opened when it is first asked for. */
export function syncedFile(name: string): SyncedFile {
  let open: number | null = null;
  return {
    sync: () =>
      new Promise((resolve, reject) => {
        open ??= openSync(name, 'r+');
        fdatasync(open, (fault) => {
          if (fault === null) resolve();
          else reject(fault);
        });
      }),
    close: () => {
      if (open !== null) closeSync(open);
      open = null;
    },
  };
}

/**
 * Has the disk keep a file without holding the thread. Whoever asks while it is busy shares what is
 * asked of it next. After a fault nothing is asked any more: the system may have forgotten what it
 * could not write, so that a later success would promise too much.
 */
export class SharedSync {
  readonly #file: SyncedFile;
  #running: Promise<void> | null = null;
  #next: Promise<void> | null = null;
  #fault: unknown = null;

  constructor(file: SyncedFile) {
    this.#file = file;
  }

  /** Fulfilled once the disk has all that was written before; rejected for good after a fault. */
  ask(): Promise<void> {
    if (this.#running === null) return this.#start();
    this.#next ??= this.#running.then(() => this.#start());
    return this.#next;
  }

  /** Throws the fault after which nothing is promised any more. */
  refuseAfterFault(): void {
    if (this.#fault !== null) throw this.#fault;
  }

  /** Waits for what was asked. */
  async close(): Promise<void> {
    await (this.#next ?? this.#running)?.catch(() => undefined);
    this.#file.close();
  }

  #start(): Promise<void> {
    this.#next = null;
    this.#running = this.#sync();
    return this.#running;
  }

  async #sync(): Promise<void> {
    try {
      await this.#file.sync();
      this.#running = null;
    } catch (fault) {
      this.#fault = fault;
      throw fault;
    }
  }
}
