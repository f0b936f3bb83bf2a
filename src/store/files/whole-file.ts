import { createHash } from 'node:crypto';
import {
  closeSync,
  createReadStream,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  renameSync,
  rmSync,
} from 'node:fs';
import { open } from 'node:fs/promises';
import { dirname } from 'node:path';
import { Refused } from '../../domain/refusal.ts';

/**
 * Makes a file that is there whole or not at all: `fill` writes a partial file beside it, which gets
 * the name when it is complete and on the disk. Refused where a file of that name exists already.
 */
export async function makeWholeFile<T>(
  file: string,
  fill: (partial: string) => Promise<T>,
): Promise<T> {
  if (existsSync(file)) throw taken(file);
  mkdirSync(dirname(file), { recursive: true, mode: PRIVATE_FOLDER });
  const partial = `${file}.part-${process.pid}`;
  try {
    const result = await fill(partial);
    syncToDisk(partial);
    claimName(file);
    renameSync(partial, file);
    syncToDisk(dirname(file));
    return result;
  } finally {
    rmSync(partial, { force: true });
  }
}

/** Writes a piece of text; to be awaited, so that a slow disk holds the writer back. */
export type TextWriter = (text: string) => Promise<void>;

/** Writes a text file piece by piece; see {@link makeWholeFile}. */
export function writeWholeFile<T>(
  file: string,
  fill: (write: TextWriter) => Promise<T>,
): Promise<T> {
  return makeWholeFile(file, async (partial) => {
    const handle = await open(partial, 'wx', PRIVATE);
    try {
      return await fill(async (text) => {
        await handle.appendFile(text);
      });
    } finally {
      await handle.close();
    }
  });
}

/** Creates the name itself: of two that want it at the same time, one is refused. */
function claimName(file: string): void {
  try {
    closeSync(openSync(file, 'wx', PRIVATE));
  } catch (fault) {
    if ((fault as NodeJS.ErrnoException).code === 'EEXIST') throw taken(file);
    throw fault;
  }
}

/** Names, addresses and telephone numbers are in these files: for their owner's eyes alone. */
export const PRIVATE = 0o600;
export const PRIVATE_FOLDER = 0o700;

function taken(file: string): Refused {
  const detail = `${file} exists already. Give another name; nothing is written over.`;
  return new Refused({ kind: 'conflict', detail });
}

/** Returns when a file, or the names in a folder, have reached the disk. */
export function syncToDisk(path: string): void {
  const handle = openSync(path, 'r');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

/** The SHA-256 of a file in hexadecimal digits, as sha256sum prints it. */
export async function sha256Of(file: string): Promise<string> {
  const hash = createHash('sha256');
  for await (const part of createReadStream(file)) hash.update(part as Buffer);
  return hash.digest('hex');
}
