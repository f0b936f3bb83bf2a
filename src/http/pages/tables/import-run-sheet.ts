import type { TableField } from '../../../domain/tables/table-fields.ts';
import {
  FIELD_MEANINGS,
  FOR_ALL_LINES,
  TABLE_FIELDS,
} from '../../../domain/tables/table-fields.ts';
import { plainName } from '../../../domain/tables/guess-columns.ts';
import type { KnownLine } from '../../../usecases/tables/plan-import.ts';
import type { EndedRun, OpenRun } from '../../../usecases/tables/import-runs.ts';
import { knownChoices } from '../../../usecases/tables/table-rows.ts';
import type { TableTally } from '../../../usecases/tables/take-in-table.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { ENCODING_WORDS, SEPARATORS } from './import-sheet.ts';

const EN = localeOf('en-GB');

/** Said of a word in a table that is to be passed over. */
export const SAYS_NOTHING = 'says-nothing';

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
  /** Own words of the table, with a choice of what each means. */
  readonly words: readonly {
    readonly field: FieldModel;
    readonly named: string;
    readonly word: string;
    readonly lines: string;
  }[];
  /** How many of them nothing was said of yet. */
  readonly wordsOpen: number;
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
  const words = wordFields(run, sent);
  const { plan, tally } = run;
  const refused = plan?.refused ?? 0;
  const good = (plan?.fresh.length ?? 0) + (plan?.changed.length ?? 0);
  const named = (line: { row: number; car: { registration: string; name: string } }) =>
    `Row ${line.row}: ${line.car.registration}, ${line.car.name}`;
  return {
    how: howWords(run),
    form: formOf(`/import/${run.id}/columns`, once, sent, [
      ...columns,
      ...words.map(({ field }) => field),
      ...reading,
      ...all,
    ]),
    columns: columns.map((one, place) => ({
      field: one,
      cells: run.samples.map((cells) => cells[place] ?? '').filter((cell) => cell !== ''),
    })),
    reading,
    all,
    words,
    wordsOpen: words.filter(({ field }) => field.value === '').length,
    lacking: run.lacking.map((field) => FIELD_MEANINGS[field].title),
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
    refused: run.faults.slice(0, SHOWN).map(({ pointer, detail }) => `${pointer}: ${detail}`),
    more: {
      fresh: Math.max(0, (plan?.fresh.length ?? 0) - SHOWN),
      changed: Math.max(0, (plan?.changed.length ?? 0) - SHOWN),
      refused: Math.max(0, run.faults.length - SHOWN),
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

function wordFields({ unknownWords, settings, patterns }: OpenRun, sent: Sent | null) {
  const choices = knownChoices(patterns);
  return unknownWords.map(({ field, word, count }, place) => {
    const kept = settings.words[field]?.[plainName(word)];
    const known = choices[field].map((one): [string, string] => [one, one.replaceAll('-', ' ')]);
    return {
      field: choice(
        sent,
        `word/${field}/${place}`,
        `“${word}” (${FIELD_MEANINGS[field].title})`,
        [
          ['', 'nothing said: its lines are refused'],
          ...known,
          [SAYS_NOTHING, 'pass it over, as if the cell were empty'],
        ],
        { value: kept === '' ? SAYS_NOTHING : kept },
      ),
      named: `own/${field}/${place}`,
      word,
      lines: counted(count, 'line'),
    };
  });
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
    readonly 'import-run': ImportRunModel;
  }
}
