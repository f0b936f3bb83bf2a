import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import type { Instant } from '../../domain/calendar/instant.ts';
import { PRIVATE } from '../files/whole-file.ts';

/** Lies beside a database that was restored, until the next start has seen to its letters: when that was. */
const nameOf = (file: string): string => `${file}.restored`;

/** Of a letter that nobody can tell from one that left after the backup. */
export const MAY_HAVE_LEFT =
  'It waited when the backup was made from which these records were restored, or was owed by then. It may have left since: ask the owner, send it again, or let it be.';

export function noteRestored(file: string, at: Instant): void {
  writeFileSync(nameOf(file), at, { mode: PRIVATE });
}

/** When a database file was restored whose letters were not seen to yet; null where none was. */
export function restoredAt(file: string): Instant | null {
  return existsSync(nameOf(file)) ? readFileSync(nameOf(file), 'utf8') : null;
}

export function forgetRestored(file: string): void {
  rmSync(nameOf(file), { force: true });
}
