import { Command } from 'commander';
import type { Restored } from '../usecases/records/restore-backup.ts';
import { restoreBackup } from '../usecases/records/restore-backup.ts';
import { refuseWhileServed } from '../usecases/context/no-server.ts';
import { holdOldLetters } from '../usecases/round/hold-restored.ts';
import { invalid } from '../domain/refusal.ts';
import { contentsInWords } from './backup.ts';
import type { Door } from './door.ts';
import { withContext } from './door.ts';
import { say } from './voice.ts';

/** `foldkeep restore`: makes a backup the database again, while no server uses it. */
export function restoreCommand(door: Door): Command {
  return new Command('restore')
    .description('make a backup the database again; the server must be stopped')
    .argument('[file]', 'a file that "foldkeep backup" made')
    .option('--replace', 'put it in the place of records that are there, keeping a copy', false)
    .option('--dry-run', 'check everything and say what would happen', false)
    .option(
      '--hold-letters',
      'no file: after pg_restore, hold the letters that may have left since the backup',
      false,
    )
    .action(async (file: string | undefined, { holdLetters, ...options }: RestoreOptions) => {
      if ((file === undefined) !== holdLetters) {
        throw invalid('file', 'Give either a file or --hold-letters.');
      }
      if (file === undefined) {
        await withContext(door, async (context) => {
          await refuseWhileServed(context.store);
          say(`Letters held: ${await holdOldLetters(context, door.now())}. ${HELD_WORDS}`);
        });
        return;
      }
      const restored = await restoreBackup(door.databaseUrl(), door.now(), { file, ...options });
      const { dryRun } = options;
      say(`${file} is whole and ${dryRun ? 'would be' : 'was'} restored.`);
      say(contentsInWords(restored));
      for (const line of consequences(restored, dryRun)) say(line);
    });
}

interface RestoreOptions {
  readonly replace: boolean;
  readonly dryRun: boolean;
  readonly holdLetters: boolean;
}

const HELD_WORDS =
  "They are not sent again by themselves; the day's page names them, with one press to send each.";

function consequences({ safetyCopy, lettersHeld }: Restored, dryRun: boolean): string[] {
  const lines = [];
  if (safetyCopy !== null) {
    const kept = dryRun ? 'are there would be kept' : 'were there are kept';
    lines.push(`The records that ${kept} in ${safetyCopy}.`);
  }
  if (lettersHeld > 0) {
    lines.push(
      `Letters that had not left when the backup was made and may have left since: ${lettersHeld}. ${HELD_WORDS}`,
    );
  }
  lines.push(
    'What has been owed since is held too, at the first start.',
    'What was recorded after the backup is not in it: refusals and returned letters are missing too.',
  );
  return lines;
}
