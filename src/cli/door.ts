import type { Deed } from '../usecases/deed.ts';

/** What the door hands to the commands: how to open the records, and how to serve. */
export interface Door {
  openDeed(): Promise<Deed>;
  serve(): Promise<void>;
}

/** Prints to standard output; the one place where commands speak. */
export function say(words: string): void {
  process.stdout.write(`${words}\n`);
}

/** Runs a piece of work on the records and closes them whatever happens. */
export async function withDeed(door: Door, work: (deed: Deed) => Promise<void>): Promise<void> {
  const deed = await door.openDeed();
  try {
    await work(deed);
  } finally {
    await deed.store.close();
  }
}
