import { accessSync, constants, statfsSync } from 'node:fs';
import { tmpdir } from 'node:os';

const MEMORY = '/dev/shm';
const ENOUGH_BYTES = 4 * 1024 ** 3;

/**
 * The folder for what a run of the suite throws away: in memory where the machine has room for it,
 * since every commit of a SQLite file waits for its disk.
 */
export function roomyFolder(): string {
  try {
    accessSync(MEMORY, constants.W_OK);
    const { bavail, bsize } = statfsSync(MEMORY);
    return bavail * bsize > ENOUGH_BYTES ? MEMORY : tmpdir();
  } catch {
    return tmpdir();
  }
}
