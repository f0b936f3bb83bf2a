import type { listRuns } from '../../../usecases/tables/import-runs.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';

export const SEPARATORS = [
  { value: '', sign: undefined },
  { value: 'comma', sign: ',' },
  { value: 'semicolon', sign: ';' },
  { value: 'tab', sign: '\t' },
] as const;
export const ENCODINGS = ['', 'utf-8', 'windows-1252', 'utf-16le'] as const;

/** What stands between cells, and of what kind letters are, in words; empty where it is to be found out. */
export const signWords = ({ say }: Voice, name: string) => say(`import.sign.${name || 'guess'}`);
export const encodingWords = ({ say }: Voice, name: string) =>
  say(`import.encoding.${name || 'guess'}`);

export interface ImportModel {
  readonly form: FormModel;
  readonly file: FieldModel;
  readonly how: readonly FieldModel[];
  readonly earlier: readonly {
    readonly href: string;
    readonly name: string;
    readonly words: string;
  }[];
}

/** Where a table is handed in. */
export function importSheet(
  runs: Awaited<ReturnType<typeof listRuns>>,
  sent: Sent | null,
  voice: Voice,
): [Frame, ImportModel] {
  const { say, locale } = voice;
  const file = field(sent, 'file', say('import.file'), {
    type: 'file',
    hint: say('import.file.hint'),
  });
  const how = [
    choice(
      sent,
      'separator',
      say('import.separator'),
      SEPARATORS.map(({ value }) => [value, signWords(voice, value)]),
    ),
    choice(
      sent,
      'encoding',
      say('import.encoding'),
      ENCODINGS.map((one) => [one, encodingWords(voice, one)]),
    ),
    field(sent, 'sheet', say('import.sheet'), {
      hint: say('import.sheet.hint'),
    }),
  ];
  const earlier = runs.map(({ id, fileName, state, doneAt, undoneAt }) => ({
    href: `/import/${id}`,
    name: fileName,
    words:
      state === 'undone'
        ? say('import.earlier.undone', { when: locale.instant(undoneAt ?? '', 'UTC') })
        : say('import.earlier.done', { when: locale.instant(doneAt ?? '', 'UTC') }),
  }));
  const model = { form: formOf('/import', '', sent, [file, ...how]), file, how, earlier };
  return [{ lang: voice.language, title: say('import.title'), nav: { here: 'settings' } }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly import: ImportModel;
  }
}
