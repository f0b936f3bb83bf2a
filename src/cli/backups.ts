import { Command } from 'commander';
import type { BackupPlan, KeptBackup } from '../usecases/records/keep-backups.ts';
import { keepBackups, listBackups } from '../usecases/records/keep-backups.ts';
import type { Door } from './door.ts';
import { say } from './voice.ts';

/** `foldkeep backups`: those of the clock, and one more now. */
export function backupsCommand(door: Door): Command {
  const command = new Command('backups')
    .description('list the backups that the clock makes')
    .action(() => {
      const backups = listBackups(door.backupPlan());
      if (backups.length === 0) say(`No backup yet. ${whyNone(door.backupPlan())}`);
      for (const backup of backups) say(lineOf(backup));
    });
  command
    .command('make')
    .description('make one now as the clock does, and remove those that newer ones stand for')
    .option('--dry-run', 'say what would be made and removed', false)
    .action(async ({ dryRun }: { dryRun: boolean }) => {
      const { file, kept, removed, made } = await keepBackups(
        door.backupPlan(),
        door.now(),
        dryRun,
      );
      say(
        made === null
          ? `${file} would be made.`
          : `${file} was made, read back and found whole (${made.bytes} bytes, sha256 ${made.sha256}).`,
      );
      for (const backup of removed) say(`${dryRun ? 'would go' : 'removed'}: ${backup.file}`);
      say(`${kept.length} ${dryRun ? 'would be' : 'are'} kept.`);
    });
  return command;
}

const lineOf = ({ file, at, bytes }: KeptBackup) =>
  `${at.slice(0, 16)}Z  ${String(Math.ceil(bytes / 1_000)).padStart(9)} kB  ${file}`;

function whyNone({ databaseUrl }: BackupPlan): string {
  return databaseUrl.startsWith('file:')
    ? 'A running server makes the first within a minute, unless BACKUP_CRON is off; "foldkeep backups make" makes one now.'
    : 'PostgreSQL is backed up by its own tools: pg_dump --format=custom.';
}
