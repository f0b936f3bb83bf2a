import type { Deed } from '../usecases/deed.ts';

/** What the door hands to the commands: how to open the records, and how to serve. */
export interface Door {
  openDeed(): Promise<Deed>;
  serve(): Promise<void>;
  openHouse(): Promise<House>;
}

/** The program wired and not serving yet, for a command that does things before it serves. */
export interface House {
  readonly deed: Deed;
  readonly databaseUrl: string;
  /** Folder of the mail tray, or null where letters leave by SMTP. */
  readonly mailTray: string | null;
  /** Lets every letter leave that may leave now. */
  deliver(): Promise<unknown>;
  /** Listens, and says where. */
  listen(): Promise<string>;
  startClock(): void;
  close(): Promise<void>;
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
