import { Command, Option } from 'commander';
import type { DayOrder } from '../domain/tables/cell-values.ts';
import { FIELD_MEANINGS } from '../domain/tables/table-fields.ts';
import { importFile } from '../usecases/tables/import-file.ts';
import type { Door } from './door.ts';
import { withContext } from './door.ts';
import { progressOnStderr, say } from './voice.ts';
import { tallyLines } from './export.ts';

interface ImportCommand {
  organisation?: string;
  dryRun: boolean;
  goodLines: boolean;
  sheet?: string;
  separator?: string;
  encoding?: string;
  days?: DayOrder;
}

/** `foldkeep import`: takes in an export, or a table of cars, all of it or nothing. */
export function importCommand(door: Door): Command {
  return new Command('import')
    .description('take in an export, or a table of cars (CSV or XLSX); all of it or nothing')
    .argument('<file>', 'what "foldkeep export" wrote, or a table in whatever columns it has')
    .option('--organisation <name>', 'whose cars a table holds')
    .option('--dry-run', 'check everything and say what would be added', false)
    .option('--good-lines', 'leave out the lines of a table that are refused', false)
    .option('--sheet <name>', 'the sheet of a workbook; the first with a table if not said')
    .option('--separator <sign>', 'what stands between the cells of a CSV; guessed if not said')
    .addOption(
      new Option('--encoding <name>', 'the letters of a CSV; guessed if not said').choices([
        'utf-8',
        'windows-1252',
        'utf-16le',
      ]),
    )
    .addOption(
      new Option('--days <order>', 'how a table writes days, where they do not tell it').choices([
        'day-first',
        'month-first',
      ]),
    )
    .action(async (file: string, options: ImportCommand) => {
      const { organisation = null, dryRun, goodLines, days, ...reading } = options;
      await withContext(door, async (context) => {
        const request = {
          file,
          organisation,
          dryRun,
          reading,
          days,
          goodLinesOnly: goodLines,
          progress: progressOnStderr(),
        };
        const { tally, what, lettersHeldBack, table } = await importFile(context, request);
        const lines = tallyLines(tally);
        say(lines.length === 0 ? 'There is nothing to add.' : dryRun ? 'Would add:' : 'Added:');
        for (const line of lines) say(line);
        if (table !== undefined) sayOfTable(table);
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

function sayOfTable({
  unused,
  mayBeOiling,
  faults,
  refused,
  same,
  oiledSince,
}: NonNullable<Awaited<ReturnType<typeof importFile>>['table']>): void {
  if (same > 0) say(`Lines that say nothing new: ${same}`);
  if (oiledSince > 0) {
    say(`Lines with an earlier oiling than the last on record, which stands: ${oiledSince}`);
  }
  if (unused.length > 0) say(`Columns that nothing was taken from: ${unused.join(', ')}`);
  if (mayBeOiling.length > 0) {
    const title = FIELD_MEANINGS.lubricatedOn.title;
    say(
      `No column says when the pivots were oiled last. If one of these does, call it "${title}": ${mayBeOiling.join(', ')}`,
    );
  }
  if (refused > 0) say(`Lines left out: ${refused}`);
  for (const { pointer, detail } of faults) say(`  ${pointer}: ${detail}`);
}
