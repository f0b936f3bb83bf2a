import { v7 } from 'uuid';
import { drawBytes } from './random-bytes.ts';

const BYTES = 16;
let milliseconds = 0;
let sequence = 0;

/**
 * A UUID of version 7 (RFC 9562): ids of one process sort in the order in which they were made, also
 * within a millisecond. As `v7` by itself, but its random bytes are drawn many at once.
 */
export function newId(): string {
  const random = drawBytes(BYTES);
  const now = Date.now();
  if (now > milliseconds) {
    milliseconds = now;
    // The top bit stays free, so that there is room to count up within the millisecond.
    sequence = random.readUInt32BE(0) & 0x7f_ff_ff_ff;
  } else {
    sequence = (sequence + 1) | 0;
    if (sequence === 0) milliseconds += 1;
  }
  return v7({ random, msecs: milliseconds, seq: sequence });
}
