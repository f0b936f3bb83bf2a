import { existsSync } from 'node:fs';
import { Command } from 'commander';
import { invalid } from '../domain/refusal.ts';
import { eraseFrom, keepErasures } from '../usecases/owners/erase-again.ts';
import type { Door } from './door.ts';
import { withContext } from './door.ts';
import { say } from './voice.ts';

/** `foldkeep erased`: carries the memory of erasures past a restored backup, by hand. */
export function erasedCommand(door: Door): Command {
  return new Command('erased')
    .description('keep which owners were erased in a file, or erase them again after a restore')
    .option('--export <file>', 'add the ids of all who were erased to this file')
    .option('--apply <file>', 'erase again whom this file names')
    .action(async (options: { export?: string; apply?: string }) => {
      const { export: to, apply: from } = options;
      if ((to === undefined) === (from === undefined)) {
        throw invalid('--export', 'Give either --export FILE or --apply FILE.');
      }
      if (from !== undefined && !existsSync(from)) {
        throw invalid('--apply', `There is no file ${from}.`);
      }
      await withContext(door, async (context) => {
        if (to !== undefined) {
          const known = await keepErasures(context, to);
          say(`${to} names ${known} erased owners, by ids alone. Keep it away from the backups.`);
        }
        if (from !== undefined) say(`Erased again: ${await eraseFrom(context, from)}.`);
      });
    });
}
