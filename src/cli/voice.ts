import { AsyncLocalStorage } from 'node:async_hooks';

/** Where the words of a command go. */
export interface Voice {
  out(words: string): void;
  err(words: string): void;
}

/** The streams of this program itself. */
export const OWN_VOICE: Voice = {
  out: (words) => void process.stdout.write(words),
  err: (words) => void process.stderr.write(words),
};
const elsewhere = new AsyncLocalStorage<Voice>();

/** Does a piece of work whose words go to whoever asked for it, and not to this program's own streams. */
export function speakingTo<T>(voice: Voice, work: () => Promise<T>): Promise<T> {
  return elsewhere.run(voice, work);
}

/** Prints to standard output; the one place where commands speak. */
export function say(words: string): void {
  (elsewhere.getStore() ?? OWN_VOICE).out(`${words}\n`);
}

/** Tells on standard error how far a long piece of work has come, once a second at most. */
export function progressOnStderr(): (words: string) => void {
  let spoken = performance.now();
  return (words) => {
    const now = performance.now();
    if (now - spoken < 1_000) return;
    spoken = now;
    (elsewhere.getStore() ?? OWN_VOICE).err(`${words}\n`);
  };
}
