import { existsSync, readdirSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { Instant } from '../../domain/calendar/instant.ts';
import { parseInstant } from '../../domain/calendar/instant.ts';
import { syncToDisk } from '../files/whole-file.ts';

/** A backup that the clock made, known by its name. */
export interface KeptBackup {
  readonly file: string;
  readonly at: Instant;
  readonly bytes: number;
}

/** Where the backup of an instant lies. Colons may not stand in file names everywhere. */
export function backupFileOf(folder: string, at: Instant): string {
  return join(folder, `foldkeep-${at.slice(0, 19).replaceAll(':', '-')}Z.db`);
}

const NAME = /^foldkeep-(\d{4}-\d{2}-\d{2})T(\d{2})-(\d{2})-(\d{2})Z\.db$/;

/**
 * The backups in a folder, newest first; none where there is no such folder. Files with other names
 * are somebody's own and are never listed, so never removed.
 */
export function backupsIn(folder: string): KeptBackup[] {
  if (!existsSync(folder)) return [];
  return readdirSync(folder)
    .flatMap((name) => {
      const [, day, hours, minutes, seconds] = NAME.exec(name) ?? [];
      const at = parseInstant(`${day}T${hours}:${minutes}:${seconds}Z`);
      if (at === null) return [];
      const file = join(folder, name);
      return [{ file, at, bytes: statSync(file).size }];
    })
    .sort((a, b) => (a.at < b.at ? 1 : -1));
}

/** Removes backups, and what is left of one that was not finished. */
export function removeBackups(folder: string, files: readonly string[]): void {
  for (const file of files) rmSync(file, { force: true });
  if (files.length > 0) syncToDisk(folder);
}

/** Parts of backups whose making ended with their process. */
export function unfinishedIn(folder: string): string[] {
  if (!existsSync(folder)) return [];
  return readdirSync(folder)
    .filter((name) => NAME.test(name.replace(PART, '')) && PART.test(name) && !isAlive(name))
    .map((name) => join(folder, name));
}

const PART = /\.part-\d+$/;

function isAlive(name: string): boolean {
  try {
    process.kill(Number(name.split('-').at(-1)), 0);
    return true;
  } catch (fault) {
    return (fault as NodeJS.ErrnoException).code === 'EPERM';
  }
}
