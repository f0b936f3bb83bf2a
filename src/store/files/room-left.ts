import { statSync } from 'node:fs';
import { statfs } from 'node:fs/promises';
import { dirname } from 'node:path';

/** Bytes of a database file, and bytes that are free beside it for this user. */
export async function roomLeft(file: string): Promise<{ bytes: number; free: number }> {
  const { bavail, bsize } = await statfs(dirname(file));
  return { bytes: statSync(file).size, free: bavail * bsize };
}
