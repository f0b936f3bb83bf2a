import { randomFillSync } from 'node:crypto';

const DRAWN_AT_ONCE = 4096;
const pool = Buffer.alloc(DRAWN_AT_ONCE);
let used = DRAWN_AT_ONCE;

/**
 * That many random bytes, at most 4096, good for secrets. A round needs thousands of draws, and
 * asking the system for each costs more than writing the letters; no byte is handed out twice.
 */
export function drawBytes(count: number): Buffer {
  if (used + count > DRAWN_AT_ONCE) {
    randomFillSync(pool);
    used = 0;
  }
  used += count;
  return Buffer.from(pool.subarray(used - count, used));
}
