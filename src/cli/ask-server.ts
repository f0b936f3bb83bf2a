import { createReadStream, existsSync, statSync } from 'node:fs';
import { basename } from 'node:path';
import { connect } from 'node:net';
import { createInterface } from 'node:readline';
import type { Voice } from './voice.ts';

/** Commands that a running server takes over: those that record, and those that read what nobody else may open. */
export const TAKEN_OVER: ReadonlySet<string> = new Set(['import', 'invite', 'key', 'round']);

/** What a command asks a running server: its words, and the file among them, whose bytes follow. */
export interface Asked {
  readonly words: readonly string[];
  /** Which of the words names the file, what it is called, and how many bytes it has. */
  readonly file: { readonly place: number; readonly name: string; readonly bytes: number } | null;
}

/** A line of the answer: words to print, or how it ended. */
export type Said = { readonly out: string } | { readonly err: string } | { readonly ended: number };

/**
 * Has the server that holds the records do a command, and prints what it says. Null where none listens at
 * that address; else the code to exit with. The file that `import` names is read here and sent along: the
 * server may not see what whoever asks may see.
 */
export async function askServer(
  socket: string,
  words: readonly string[],
  voice: Voice,
): Promise<number | null> {
  if (!TAKEN_OVER.has(words[0] ?? '') || !existsSync(socket)) return null;
  const line = connect(socket);
  const isThere = await new Promise<boolean>((resolve) => {
    line.once('connect', () => resolve(true));
    line.once('error', () => resolve(false));
  });
  if (!isThere) return null;
  const place = words[0] === 'import' ? words.findIndex((_, i) => namesFile(words, i)) : -1;
  const path = words[place];
  const file =
    path === undefined ? null : { place, name: basename(path), bytes: statSync(path).size };
  line.write(`${JSON.stringify({ words, file } satisfies Asked)}\n`);
  if (path !== undefined) createReadStream(path).pipe(line, { end: false });
  let code: number | null = null;
  line.on('error', () => line.destroy());
  for await (const text of createInterface({ input: line })) {
    const said = JSON.parse(text) as Said;
    if ('out' in said) voice.out(said.out);
    else if ('err' in said) voice.err(said.err);
    else code = said.ended;
  }
  line.destroy();
  if (code === null) {
    voice.err(
      'The server ended before it had answered. Whether it was done shows in the records: look there before you ask again.\n',
    );
  }
  return code ?? 1;
}

const WITHOUT_VALUE: readonly (string | undefined)[] = ['--dry-run', '--good-lines'];

/** Whether a word of `import` names the file to take in, and is no value of an option. */
function namesFile(words: readonly string[], place: number): boolean {
  const before = words[place - 1];
  if (place === 0 || (before?.startsWith('--') === true && !WITHOUT_VALUE.includes(before))) {
    return false;
  }
  return statSync(words[place] ?? '', { throwIfNoEntry: false })?.isFile() === true;
}
