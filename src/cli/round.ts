import { Command, InvalidArgumentError } from 'commander';
import { parseInstant } from '../domain/calendar/instant.ts';
import { planRound } from '../usecases/round/plan-round.ts';
import type { Door } from './door.ts';
import { withContext } from './door.ts';
import { say } from './voice.ts';

/** `foldkeep round`: the pass over the records that decides which letters are owed. */
export function roundCommand(door: Door): Command {
  return new Command('round')
    .description('hold the round: cancel what became untrue and write the letters that are owed')
    .option('--at <instant>', 'as if it were this instant, e.g. 2026-03-28T18:00:00Z', instantOf)
    .option('--dry-run', 'decide and write nothing down', false)
    .option('--json', 'print the result as JSON', false)
    .action(async (options: { at?: string; dryRun: boolean; json: boolean }) => {
      await withContext(door, async (context) => {
        const { at, dryRun } = options;
        const result = await planRound(context, { dryRun, ...(at === undefined ? {} : { at }) });
        if (options.json) {
          say(JSON.stringify(result));
          return;
        }
        say(`${dryRun ? 'Dry round' : 'Round'} at ${result.at}`);
        for (const letter of result.letters) {
          say(`  ${letter.kind.padEnd(18)} ${letter.to.name} <${letter.to.address}>`);
        }
        const verb = dryRun ? 'would be' : 'were';
        say(`${result.planned} letters ${verb} written, ${result.cancelled} ${verb} cancelled.`);
      });
    });
}

function instantOf(text: string): string {
  const instant = parseInstant(text);
  if (instant === null) {
    throw new InvalidArgumentError('Give an instant with its offset, as 2026-03-28T18:00:00Z.');
  }
  return instant;
}
