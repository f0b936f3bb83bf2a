import { createRequire } from 'node:module';
import { Worker } from 'node:worker_threads';
import { Refused } from '../../domain/refusal.ts';
import { MOST_MEMORY_MB, MOST_READING_MS } from './grid.ts';

/** What a reader beside came to: cells, or why there are none, in words. */
type Found =
  | {
      readonly cells: string[][];
      readonly sheet?: string | undefined;
      readonly sheets?: string[] | undefined;
    }
  | { readonly wrong: string };

/** Reads a file beside; a reader that says what is wrong, or says nothing, refuses it. */
export async function readBeside(
  script: string,
  packages: readonly string[],
  data: object,
): Promise<Extract<Found, { cells: unknown }>> {
  const found = await workBeside<Found>(script, packages, data);
  if (found === null) {
    throw refused('It cannot be read as a table. Save it anew, as XLSX or CSV, and try again.');
  }
  if ('wrong' in found) throw refused(found.wrong);
  return found;
}

/**
 * Runs a script in a thread of its own, which ends when it has answered: no request waits for it, and
 * one that takes too long or too much memory is broken off, which answers null. The script finds
 * packages by the paths that it is handed.
 */
export function workBeside<Answer>(
  script: string,
  packages: readonly string[],
  data: object,
): Promise<Answer | null> {
  const here = createRequire(import.meta.url);
  const paths = Object.fromEntries(packages.map((name) => [name, here.resolve(name)]));
  return new Promise((resolve) => {
    const worker = new Worker(script, {
      eval: true,
      workerData: { ...data, paths },
      resourceLimits: { maxOldGenerationSizeMb: MOST_MEMORY_MB },
    });
    const over = setTimeout(() => void worker.terminate(), MOST_READING_MS);
    const answer = (found: Answer | null) => {
      clearTimeout(over);
      resolve(found);
    };
    worker.once('message', answer);
    worker.once('error', () => answer(null));
    worker.once('exit', () => answer(null));
  });
}

function refused(detail: string): Refused {
  return new Refused({ kind: 'conflict', detail });
}
