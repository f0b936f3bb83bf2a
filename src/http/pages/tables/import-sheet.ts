import type { TableField } from '../../../domain/tables/table-fields.ts';
import {
  FIELD_MEANINGS,
  FOR_ALL_LINES,
  TABLE_FIELDS,
} from '../../../domain/tables/table-fields.ts';
import type { KnownLine } from '../../../usecases/tables/plan-import.ts';
import type { EndedRun, OpenRun, listRuns } from '../../../usecases/tables/import-runs.ts';
import { knownChoices } from '../../../usecases/tables/table-rows.ts';
import type { TableTally } from '../../../usecases/tables/take-in-table.ts';
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
const ENCODING_WORDS: Readonly<Record<string, string>> = {
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

export interface ImportRunModel {
  readonly fileName: string;
  readonly done: string;
  readonly open: OpenModel | null;
  readonly ended: {
    readonly words: string;
    readonly counts: readonly string[];
    /** Null where it cannot be taken back. */
    readonly undo: FormModel | null;
    readonly wrong: FormModel['wrong'];
  } | null;
}

interface OpenModel {
  readonly how: readonly string[];
  readonly form: FormModel;
  readonly columns: readonly { readonly field: FieldModel; readonly cells: readonly string[] }[];
  readonly reading: readonly FieldModel[];
  readonly all: readonly FieldModel[];
  readonly lacking: readonly string[];
  readonly fault: string;
  readonly counts: readonly string[];
  readonly letters: string;
  readonly unused: readonly string[];
  readonly fresh: readonly string[];
  readonly changed: readonly string[];
  readonly refused: readonly string[];
  readonly more: { readonly fresh: number; readonly changed: number; readonly refused: number };
  readonly take: string;
  /** What may be pressed: all lines, the good ones alone, or nothing. */
  readonly buttons: readonly { readonly lines: string; readonly words: string }[];
}

const SHOWN = 50;

/** A table that was handed in: what it means and would do, or what it did. */
export function runSheet(
  run: OpenRun | EndedRun,
  looking: {
    readonly once: string;
    readonly sent: Sent | null;
    readonly done?: string | undefined;
    readonly fault: string | null;
  },
): [Frame, ImportRunModel] {
  const model: ImportRunModel = {
    fileName: run.fileName,
    done:
      looking.done === 'named' ? 'Kept, and remembered for the next table with these columns.' : '',
    open: run.state === 'open' ? openModel(run, looking) : null,
    ended: run.state === 'open' ? null : endedModel(run, looking),
  };
  return [{ lang: 'en', title: 'A table', nav: { here: 'settings' } }, model];
}

function endedModel(
  run: EndedRun,
  { once, sent }: { readonly once: string; readonly sent: Sent | null },
): NonNullable<ImportRunModel['ended']> {
  const form = formOf(`/import/${run.id}/undo`, once, sent, []);
  return {
    words:
      run.state === 'undone'
        ? 'Taken back: what it had brought is gone, what it had changed stands as before.'
        : 'Taken in.',
    counts: run.tally === null ? [] : countsOf(run.tally),
    undo: run.canUndo ? form : null,
    wrong: form.wrong,
  };
}

function openModel(
  run: OpenRun,
  {
    once,
    sent,
    fault,
  }: { readonly once: string; readonly sent: Sent | null; readonly fault: string | null },
): OpenModel {
  const columns = columnFields(run, sent);
  const reading = readingFields(run, sent);
  const all = fieldsForAll(run, sent);
  const { plan, tally } = run;
  const refused = plan?.refused ?? 0;
  const good = (plan?.fresh.length ?? 0) + (plan?.changed.length ?? 0);
  const named = (line: { row: number; car: { registration: string; name: string } }) =>
    `Row ${line.row}: ${line.car.registration}, ${line.car.name}`;
  return {
    how: howWords(run),
    form: formOf(`/import/${run.id}/columns`, once, sent, [...columns, ...reading, ...all]),
    columns: columns.map((one, place) => ({
      field: one,
      cells: run.samples.map((cells) => cells[place] ?? '').filter((cell) => cell !== ''),
    })),
    reading,
    all,
    lacking: run.lacking,
    fault: fault ?? '',
    counts:
      tally === null || plan === null
        ? []
        : [
            ...countsOf(tally),
            ...(plan.same.length > 0
              ? [`${counted(plan.same.length, 'line')} say nothing new`]
              : []),
            ...(refused > 0 ? [`${counted(refused, 'line')} refused`] : []),
          ],
    letters: lettersWords(run.lettersSoon),
    unused: run.unused,
    fresh: (plan?.fresh ?? []).slice(0, SHOWN).map(named),
    changed: (plan?.changed ?? []).slice(0, SHOWN).map(changeWords),
    refused: (plan?.faults ?? [])
      .slice(0, SHOWN)
      .map(({ pointer, detail }) => `${pointer}: ${detail}`),
    more: {
      fresh: Math.max(0, (plan?.fresh.length ?? 0) - SHOWN),
      changed: Math.max(0, (plan?.changed.length ?? 0) - SHOWN),
      refused: Math.max(0, (plan?.faults.length ?? 0) - SHOWN),
    },
    take: `/import/${run.id}/take`,
    buttons:
      good === 0
        ? []
        : refused === 0
          ? [{ lines: 'all', words: `Take in ${counted(good, 'line')}` }]
          : [{ lines: 'good', words: `Take in the ${counted(good, 'good line')} only` }],
  };
}

function columnFields(run: OpenRun, sent: Sent | null): FieldModel[] {
  const choices: [string, string][] = [
    ['', 'nothing of ours'],
    ...TABLE_FIELDS.map((name): [string, string] => [name, FIELD_MEANINGS[name].title]),
  ];
  const fieldOf = new Map<number, TableField>(
    Object.entries(run.settings.columns).map(([name, place]) => [place, name as TableField]),
  );
  return run.header.map((name, place) =>
    choice(sent, `column/${place}`, name === '' ? `column ${place + 1}` : name, choices, {
      value: fieldOf.get(place) ?? '',
    }),
  );
}

function readingFields({ settings, sureOfDays }: OpenRun, sent: Sent | null): FieldModel[] {
  return [
    choice(
      sent,
      'dayOrder',
      '03/04/2024 is',
      [
        ['day-first', '3 April 2024'],
        ['month-first', '4 March 2024'],
      ],
      {
        value: settings.dayOrder,
        hint: sureOfDays
          ? 'Found out from the days of this table.'
          : 'The days of this table could be either: look whether it is right.',
      },
    ),
    choice(
      sent,
      'decimal',
      'Decimals stand behind a',
      [
        ['.', 'point: 2.5'],
        [',', 'comma: 2,5'],
      ],
      { value: settings.decimal },
    ),
  ];
}

function fieldsForAll({ settings, patterns }: OpenRun, sent: Sent | null): FieldModel[] {
  const choices = knownChoices(patterns);
  return FOR_ALL_LINES.map((name) =>
    choice(
      sent,
      `all/${name}`,
      FIELD_MEANINGS[name].title,
      [
        ['', 'as the line says'],
        ...choices[name].map((word): [string, string] => [word, word.replaceAll('-', ' ')]),
      ],
      { value: settings.forAll[name] ?? '' },
    ),
  );
}

function howWords({ readAs, lines }: OpenRun): string[] {
  const { format, separator, encoding, sheet, sheets } = readAs;
  const sign = SEPARATORS.find((one) => one.sign === separator)?.words ?? separator;
  return [
    counted(lines, 'line'),
    ...(format === 'csv'
      ? [
          `${sign ?? ''} between the cells`,
          `letters: ${ENCODING_WORDS[encoding ?? ''] ?? encoding ?? ''}`,
        ]
      : [`sheet “${sheet ?? ''}”${sheets.length > 1 ? ` of ${sheets.length}` : ''}`]),
  ];
}

function countsOf({ owners, cars, tops, changed }: TableTally): string[] {
  return [
    ...(owners > 0 ? [counted(owners, 'new owner')] : []),
    ...(cars > 0 ? [counted(cars, 'new car')] : []),
    ...(tops > 0 ? [counted(tops, 'new top')] : []),
    ...(changed > 0 ? [`${counted(changed, 'car')} on record changed`] : []),
  ];
}

function changeWords({ line, owner, car, bringsTop }: KnownLine): string {
  const said = [...owner, ...car].map(
    ({ field: name, was, becomes }) =>
      `${FIELD_MEANINGS[name].title}: ${was === null || was === '' ? 'nothing' : was} → ${becomes}`,
  );
  const all = bringsTop ? [...said, 'its top'] : said;
  return `Row ${line.row}: ${line.car.registration}: ${all.join('; ')}`;
}

function lettersWords(count: number): string {
  if (count === 0) return 'No owner is written to because of it within a day.';
  return `${counted(count, 'owner')} will be written to within a day: their oil is due within four weeks, or late by the day the top was fitted. Record what you oiled first where you know better.`;
}

function counted(count: number, what: string): string {
  return `${EN.number(count)} ${what}${count === 1 ? '' : 's'}`;
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly import: ImportModel;
    readonly 'import-run': ImportRunModel;
  }
}
