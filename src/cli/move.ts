import { Command } from 'commander';
import { moveRecords } from '../usecases/records/move-records.ts';
import type { Door } from './door.ts';
import { progressOnStderr, say } from './voice.ts';

interface MoveOptions {
  from: string;
  to: string;
  dryRun: boolean;
}

/** `foldkeep move`: carries all records from SQLite to PostgreSQL. */
export function moveCommand(door: Pick<Door, 'now'>): Command {
  return new Command('move')
    .description('carry all records from a SQLite file to an empty PostgreSQL database')
    .requiredOption('--from <url>', 'where the records are, file:PATH; its server must be stopped')
    .requiredOption('--to <url>', 'where they are to go, postgresql://…')
    .option('--dry-run', 'count what would be carried over and write nothing', false)
    .action(async ({ from, to, dryRun }: MoveOptions) => {
      const at = door.now();
      const tables = await moveRecords({ from, to, at, dryRun, progress: progressOnStderr() });
      for (const { table, rows, before } of tables) {
        if (rows === 0) continue;
        const known = before === 0 ? '' : `, of which ${before} were there from an earlier run`;
        say(`  ${table.replaceAll('_', ' ').padEnd(20)} ${rows}${known}`);
      }
      if (dryRun) {
        say('Nothing was written.');
        return;
      }
      say('Every table was compared, row by row: the same counts and checksums.');
      say('Set DATABASE_URL to the new database and start. The old file refuses to serve now.');
    });
}
