import { closeSync, existsSync, openSync, readSync } from 'node:fs';

/** The pages that a write-ahead log holds, up to its last commit. */
export interface LogPages {
  readonly pages: ReadonlySet<number>;
  /** Pages of the whole database after that commit; null where the log holds none. */
  readonly size: number | null;
}

const HEAD_BYTES = 32;
const FRAME_HEAD_BYTES = 24;

/**
 * Reads which pages a log of SQLite holds (the file format's own figures,
 * https://www.sqlite.org/fileformat2.html, 4.1): frames count while they bear the salts of its head.
 * Checksums are left to SQLite, which reads the pages themselves.
 */
export function pagesInLog(log: string): LogPages {
  const pages = new Set<number>();
  if (!existsSync(log)) return { pages, size: null };
  const handle = openSync(log, 'r');
  try {
    const head = Buffer.alloc(HEAD_BYTES);
    if (readSync(handle, head, 0, HEAD_BYTES, 0) < HEAD_BYTES) return { pages, size: null };
    const step = FRAME_HEAD_BYTES + head.readUInt32BE(8);
    const salts = head.subarray(16, 24);
    const frame = Buffer.alloc(FRAME_HEAD_BYTES);
    const sinceCommit: number[] = [];
    let size: number | null = null;
    for (let at = HEAD_BYTES; readSync(handle, frame, 0, FRAME_HEAD_BYTES, at) > 0; at += step) {
      if (!frame.subarray(8, 16).equals(salts)) break;
      sinceCommit.push(frame.readUInt32BE(0));
      const committed = frame.readUInt32BE(4);
      if (committed === 0) continue;
      size = committed;
      for (const page of sinceCommit.splice(0)) pages.add(page);
    }
    return { pages, size };
  } finally {
    closeSync(handle);
  }
}
