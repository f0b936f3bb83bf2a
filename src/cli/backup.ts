import { Command } from 'commander';
import type { BackupFile, DatabaseContents } from '../usecases/records/back-up.ts';
import { backUp } from '../usecases/records/back-up.ts';
import type { Door } from './door.ts';
import { say } from './voice.ts';

/** `foldkeep backup`: a checked copy of the whole database in one new file. */
export function backupCommand(door: Door): Command {
  return new Command('backup')
    .description('copy the whole database into a new file and check it; the server may run')
    .argument('<file>', 'the file to make; one that exists is never written over')
    .action(async (file: string) => {
      const made = await backUp(door.databaseUrl(), file);
      say(`Backed up into ${file}, read back and found whole.`);
      say(contentsInWords(made));
      say(
        'It holds everything, keys and addresses too: keep it as safe as the records themselves.',
      );
    });
}

/** What a database file holds, line by line. */
export function contentsInWords(
  made: BackupFile | (DatabaseContents & { sha256: string }),
): string {
  const { counts, applied, pending } = made;
  const behind = pending.length === 0 ? '' : `, and ${pending.length} to come at the next start`;
  const held = Object.entries(counts).map(
    ([table, count]) => `  ${table.replaceAll('_', ' ').padEnd(15)} ${count}`,
  );
  return [
    `  ${'bytes'.padEnd(15)} ${made.bytes}`,
    `  ${'sha256'.padEnd(15)} ${made.sha256}`,
    `  ${'migrations'.padEnd(15)} ${applied.join(', ')}${behind}`,
    ...held,
  ].join('\n');
}
