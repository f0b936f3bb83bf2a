import { dirname, join } from 'node:path';
import type { BackupFigures } from '../../domain/backups/rotation.ts';
import { backupsToKeep } from '../../domain/backups/rotation.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { addHours } from '../../domain/calendar/instant.ts';
import { Refused } from '../../domain/refusal.ts';
import type { KeptBackup } from '../../store/backups/backup-folder.ts';
import {
  backupFileOf,
  backupsIn,
  removeBackups,
  unfinishedIn,
} from '../../store/backups/backup-folder.ts';
import { roomLeft } from '../../store/files/room-left.ts';
import type { BackupFile } from './back-up.ts';
import { backUp, fileOnly } from './back-up.ts';

export type { KeptBackup } from '../../store/backups/backup-folder.ts';

/** Where the backups of the clock lie and how many stay. */
export interface BackupPlan {
  readonly databaseUrl: string;
  /** Null for a folder beside the database. */
  readonly folder: string | null;
  readonly figures: BackupFigures;
}

export interface BackupsKept {
  readonly folder: string;
  /** The file that was made, or would be. */
  readonly file: string;
  /** Null where it was only asked what would happen. */
  readonly made: BackupFile | null;
  readonly kept: readonly KeptBackup[];
  readonly removed: readonly KeptBackup[];
}

/**
 * Makes a backup, reads it back, and only then removes those that newer ones stand for (see
 * {@link backupsToKeep}). Refused where the disk has no room for it, so that the server keeps what it
 * needs to record. Works beside a running server.
 */
export async function keepBackups(
  plan: BackupPlan,
  at: Instant,
  dryRun: boolean,
): Promise<BackupsKept> {
  const database = fileOnly(plan.databaseUrl, 'pg_dump --format=custom --file=BACKUP');
  const folder = plan.folder ?? besideIt(database);
  await refuseWithoutRoom(database);
  const file = backupFileOf(folder, at);
  const made = dryRun ? null : await backUp(plan.databaseUrl, file);
  const all = dryRun ? [{ file, at, bytes: 0 }, ...backupsIn(folder)] : backupsIn(folder);
  const stay = backupsToKeep(
    all.map((one) => one.at),
    plan.figures,
  );
  const kept = all.filter((one) => stay.has(one.at));
  const removed = all.filter((one) => !stay.has(one.at));
  if (!dryRun) {
    removeBackups(folder, [...removed.map((one) => one.file), ...unfinishedIn(folder)]);
  }
  return { folder, file, made, kept, removed };
}

/** The backups that are there, newest first; none on PostgreSQL, whose own tools keep them. */
export function listBackups(plan: Pick<BackupPlan, 'databaseUrl' | 'folder'>): KeptBackup[] {
  if (!plan.databaseUrl.startsWith('file:')) return [];
  return backupsIn(plan.folder ?? besideIt(fileOnly(plan.databaseUrl, '')));
}

/** Whether the newest backup is so old that one was missed: a machine that sleeps at night is not without. */
export function backupMissed(backups: readonly KeptBackup[], now: Instant): boolean {
  const newest = backups[0];
  return newest === undefined || addHours(newest.at, MISSED_HOURS) < now;
}

// A day, and an hour in which the clocks may be set back (shop rule).
const MISSED_HOURS = 25;

const besideIt = (database: string) => join(dirname(database), 'backups');

async function refuseWithoutRoom(database: string): Promise<void> {
  const { bytes, free } = await roomLeft(database);
  if (free >= 2 * bytes) return;
  const mb = (n: number) => `${Math.ceil(n / 1_000_000)} MB`;
  const detail = `There is no room for a backup: ${mb(free)} are free, and twice ${mb(bytes)} must be, so that the server can go on recording. Make room, or set BACKUP_FOLDER to another disk.`;
  throw new Refused({ kind: 'conflict', detail });
}
