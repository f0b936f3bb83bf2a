/** Runs pieces of work one after the other, in the order they were asked for. */
export class SingleWriter {
  #tail: Promise<unknown> = Promise.resolve();

  run<T>(work: () => Promise<T>): Promise<T> {
    const turn = this.#tail.then(work, work);
    this.#tail = turn.catch(() => undefined);
    return turn;
  }
}
