import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const SCRIPT = fileURLToPath(new URL('keep-servers.sh', import.meta.url));
const LOGS = ['start.log', 'postfix/mail.log', 'dovecot/mail.log'];

/** Both servers, running. */
export interface Kept {
  /** The last words of their logs. */
  words(): Promise<string>;
  /** Ends them and removes their folder; throws where one had to be killed. */
  close(): Promise<void>;
}

/**
 * Starts the servers whose settings lie in a folder, in the care of a process of their own that ends
 * them when this one closes it or is gone, whatever the reason. Throws with their logs where they do
 * not start.
 */
export async function keepServers(folder: string): Promise<Kept> {
  const keeper = spawn('/bin/sh', [SCRIPT, folder], {
    stdio: ['pipe', 'pipe', 'ignore'],
    detached: true,
  });
  const ended = once(keeper, 'exit');
  const words = async () => {
    const texts = LOGS.map((log) => readFile(join(folder, log), 'utf8').catch(() => ''));
    return (await Promise.all(texts)).map((text) => text.slice(-4_000)).join('\n');
  };
  const close = async () => {
    keeper.stdin.end();
    await ended;
    if (keeper.exitCode !== 0) throw new Error('a mail server had to be killed');
  };
  const [said] = (await Promise.race([once(keeper.stdout, 'data'), ended])) as [unknown];
  if (String(said).trim() === 'ready') return { words, close };
  const why = await words();
  await close();
  throw new Error(`the mail servers did not start:\n${why}`);
}
