import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { Command, Option } from 'commander';
import type { LetterKind } from '../domain/round/letter-kind.ts';
import { LETTER_KINDS } from '../domain/round/letter-kind.ts';
import { letterLanguages, previewFiles } from '../usecases/organisations/preview-letters.ts';
import { say } from './voice.ts';

/** `foldkeep letters preview`: every kind of letter with invented data, to look at. */
export function lettersCommand(): Command {
  const letters = new Command('letters').description('look at the letters');
  letters
    .command('preview')
    .description('write every kind of letter in every language, with invented data, to a folder')
    .addOption(new Option('--kind <kind>', 'only this kind').choices(LETTER_KINDS))
    .addOption(new Option('--language <tag>', 'only this language').choices(letterLanguages()))
    .option('--to <folder>', 'where to write them', 'data/preview')
    .action(async (options: { kind?: LetterKind; language?: string; to: string }) => {
      const { kind, language, to } = options;
      const files = previewFiles({ kind, language });
      await mkdir(to, { recursive: true, mode: 0o700 });
      for (const { name, content } of files) await writeFile(join(to, name), content);
      say(`${files.length} files in ${to}; begin with ${join(to, 'index.html')}`);
    });
  return letters;
}
