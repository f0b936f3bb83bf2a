/** One measured ratio against a bare baseline of the same run; `goal` says what it should be. */
export interface Measured {
  readonly name: string;
  readonly ratio: number;
  readonly goal: string;
}

/** The shortest of several runs in ms: the one that other work on the machine disturbed least. */
export async function best(runs: number, work: () => unknown): Promise<number> {
  let shortest = Infinity;
  for (let run = 0; run < runs; run++) {
    const begun = performance.now();
    await work();
    shortest = Math.min(shortest, performance.now() - begun);
  }
  return shortest;
}
