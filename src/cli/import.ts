import { Command } from 'commander';
import { importFile } from '../usecases/records/import-file.ts';
import type { Door } from './door.ts';
import { progressOnStderr, say, withContext } from './door.ts';
import { tallyLines } from './export.ts';

/** `foldkeep import`: takes in an export, or a table of cars, all of it or nothing. */
export function importCommand(door: Door): Command {
  return new Command('import')
    .description('take in an export, or a table of cars from a spreadsheet; all of it or nothing')
    .argument('<file>', 'what "foldkeep export" wrote, or a CSV table with the same columns')
    .option('--organisation <name>', 'whose cars a table holds')
    .option('--dry-run', 'check everything and say what would be added', false)
    .action(async (file: string, options: { organisation?: string; dryRun: boolean }) => {
      const { organisation = null, dryRun } = options;
      await withContext(door, async (context) => {
        const request = { file, organisation, dryRun, progress: progressOnStderr() };
        const { tally, what, lettersHeldBack } = await importFile(context, request);
        const lines = tallyLines(tally);
        say(lines.length === 0 ? 'There is nothing to add.' : dryRun ? 'Would add:' : 'Added:');
        for (const line of lines) say(line);
        if (lettersHeldBack > 0) {
          say(
            `Letters that had not left, and count as cancelled now: ${lettersHeldBack}. The next round writes anew what is still true.`,
          );
        }
        if (what === 'records' && !dryRun) {
          say(
            'Keys are not part of an export: make new ones with foldkeep key --organisation NAME.',
          );
        }
      });
    });
}
