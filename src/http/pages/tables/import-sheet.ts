import type { listRuns } from '../../../usecases/tables/import-runs.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';

const EN = localeOf('en-GB');

export const SEPARATORS = [
  { value: '', sign: undefined, words: 'find out' },
  { value: 'comma', sign: ',', words: 'comma' },
  { value: 'semicolon', sign: ';', words: 'semicolon' },
  { value: 'tab', sign: '\t', words: 'tabulator' },
] as const;
export const ENCODINGS = ['', 'utf-8', 'windows-1252', 'utf-16le'] as const;
export const ENCODING_WORDS: Readonly<Record<string, string>> = {
  '': 'find out',
  'utf-8': 'UTF-8',
  'windows-1252': 'older Windows programs',
  'utf-16le': 'UTF-16',
  'utf-16be': 'UTF-16',
};

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
): [Frame, ImportModel] {
  const file = field(sent, 'file', 'The file', {
    type: 'file',
    hint: 'A workbook (XLSX) or a CSV, one car a line, the names of the columns above. 8 MB at most.',
  });
  const how = [
    choice(
      sent,
      'separator',
      'Between the cells stands',
      SEPARATORS.map(({ value, words }) => [value, words]),
    ),
    choice(
      sent,
      'encoding',
      'Its letters are those of',
      ENCODINGS.map((one) => [one, ENCODING_WORDS[one] ?? one]),
    ),
    field(sent, 'sheet', 'Sheet of a workbook', {
      hint: 'Left empty: the first that holds a table.',
    }),
  ];
  const earlier = runs.map(({ id, fileName, state, doneAt, undoneAt }) => ({
    href: `/import/${id}`,
    name: fileName,
    words:
      state === 'undone'
        ? `taken back ${EN.instant(undoneAt ?? '', 'UTC')}`
        : `taken in ${EN.instant(doneAt ?? '', 'UTC')}`,
  }));
  const model = { form: formOf('/import', '', sent, [file, ...how]), file, how, earlier };
  return [{ lang: 'en', title: 'Bring your table', nav: { here: 'settings' } }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly import: ImportModel;
  }
}
