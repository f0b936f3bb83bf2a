import { Command } from 'commander';
import { exportRecords } from '../usecases/records/export-records.ts';
import { exportTable } from '../usecases/tables/export-table.ts';
import type { Door } from './door.ts';
import { progressOnStderr, say } from './voice.ts';

interface ExportOptions {
  organisation?: string;
  csv: boolean;
  semicolon: boolean;
}

/** `foldkeep export`: the records as JSON, or the cars of an organisation as a table. */
export function exportCommand(door: Door): Command {
  return new Command('export')
    .description('write the records as JSON into a new file; the server may run')
    .argument('<file>', 'the file to make; one that exists is never written over')
    .option('--organisation <name>', 'only this organisation')
    .option('--csv', 'write a table of its cars, owners and tops for a spreadsheet instead', false)
    .option('--semicolon', 'with --csv: separate cells by ; as some spreadsheets want', false)
    .action(async (file: string, options: ExportOptions) => {
      const { organisation = null, csv, semicolon } = options;
      const request = { file, organisation, progress: progressOnStderr() };
      if (csv) {
        const separator = semicolon ? ';' : ',';
        const cars = await exportTable(door.databaseUrl(), { ...request, separator });
        say(`Cars written into ${file}: ${cars}`);
        return;
      }
      const tally = await exportRecords(door.databaseUrl(), door.now(), request);
      say(`Wrote into ${file}, without keys, links and sessions:`);
      for (const line of tallyLines(tally)) say(line);
    });
}

/** How many of each kind, line by line; kinds with none are left out. */
export function tallyLines(tally: Readonly<Record<string, number>>): string[] {
  return Object.entries(tally)
    .filter(([, count]) => count > 0)
    .map(([name, count]) => {
      const words = name.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
      return `  ${words.padEnd(18)} ${count}`;
    });
}
