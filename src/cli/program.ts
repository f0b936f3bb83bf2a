import { Command } from 'commander';
import type { Deed } from '../usecases/deed.ts';
import { keyCommand } from './key.ts';
import { roundCommand } from './round.ts';

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

/** The command line with all its commands. */
export function buildProgram(door: Door): Command {
  const program = new Command('foldkeep')
    .description('Keeps convertible tops alive after they are fitted.')
    .showHelpAfterError()
    .configureHelp({ sortSubcommands: true });
  program
    .command('serve')
    .description('serve pages and API, hold the round and deliver letters by the clock')
    .action(() => door.serve());
  program.addCommand(roundCommand(door));
  program.addCommand(keyCommand(door));
  return program;
}
