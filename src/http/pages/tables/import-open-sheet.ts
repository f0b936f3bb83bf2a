import type { TableField } from '../../../domain/tables/table-fields.ts';
import {
  FIELD_MEANINGS,
  FOR_ALL_LINES,
  TABLE_FIELDS,
} from '../../../domain/tables/table-fields.ts';
import { plainName } from '../../../domain/tables/guess-columns.ts';
import type { KnownLine } from '../../../usecases/tables/plan-import.ts';
import { oiledSince } from '../../../usecases/tables/plan-import.ts';
import type { OpenRun } from '../../../usecases/tables/import-runs.ts';
import type { CarLine } from '../../../usecases/tables/table-rows.ts';
import { knownChoices } from '../../../usecases/tables/table-rows.ts';
import type { TableTally } from '../../../usecases/tables/take-in-table.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, formOf, spokenChoices } from '../frame/form.ts';
import { encodingWords, SEPARATORS, signWords } from './import-sheet.ts';

/** Said of a word in a table that is to be passed over. */
export const SAYS_NOTHING = 'says-nothing';

/** How many lines of a kind a page of an import shows. */
export const SHOWN = 50;

/** A table whose columns are being named, with what taking it in would do. */
export interface OpenRunModel {
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
  readonly letters: readonly string[];
  readonly unused: readonly string[];
  /** Asks whether a column of days that nothing is taken from tells the last oiling; empty where none may. */
  readonly mayBeOiling: string;
  /** That days can be read in two ways, and whose lines wait for it to be said; empty where none can. */
  readonly doubtful: string;
  readonly fresh: readonly string[];
  readonly changed: readonly string[];
  readonly refused: readonly string[];
  /** Lines with an earlier oiling than the last on record. */
  readonly oiledSince: { readonly words: string; readonly lines: readonly string[] };
  /** What of their tops no column tells, once for all lines; empty where all is told. */
  readonly untold: string;
  readonly more: {
    readonly fresh: number;
    readonly changed: number;
    readonly refused: number;
    readonly oiledSince: number;
  };
  readonly take: string;
  /** What may be pressed: all lines, the good ones alone, or nothing. */
  readonly buttons: readonly { readonly lines: string; readonly words: string }[];
}

/** What a table that was read means so far, how its columns can be named, and what it would do. */
export function openRunSheet(
  run: OpenRun,
  {
    once,
    sent,
    fault,
  }: { readonly once: string; readonly sent: Sent | null; readonly fault: string | null },
  voice: Voice,
): OpenRunModel {
  const { say, count, tell } = voice;
  const columns = columnFields(run, sent, voice);
  const reading = readingFields(run, sent, voice);
  const all = fieldsForAll(run, sent, voice);
  const words = wordFields(run, sent, voice);
  const { plan, tally } = run;
  const refused = plan?.refused ?? 0;
  const good = (plan?.fresh.length ?? 0) + (plan?.changed.length ?? 0);
  const since = plan === null ? [] : oiledSince(plan);
  return {
    how: howWords(run, voice),
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
    lacking: run.lacking.map((field) => tell(FIELD_MEANINGS[field].title)),
    fault: tell(fault ?? ''),
    counts:
      tally === null || plan === null
        ? []
        : [
            ...countsOf(tally, voice),
            ...(plan.same.length > 0 ? [count('import.same', plan.same.length)] : []),
            ...(refused > 0 ? [count('import.lines.refused', refused)] : []),
          ],
    letters: lettersWords(run.oil, voice),
    unused: run.unused,
    mayBeOiling:
      run.mayBeOiling.length === 0
        ? ''
        : say('import.oiling.maybe', {
            columns: run.mayBeOiling.map((name) => say('import.column.named', { name })).join(', '),
            field: tell(FIELD_MEANINGS.lubricatedOn.title),
          }),
    doubtful:
      run.doubtful.lines === 0
        ? ''
        : count('import.doubtful', run.doubtful.lines, { cell: run.doubtful.such }),
    fresh: (plan?.fresh ?? []).slice(0, SHOWN).map((line) => freshWords(line, run, voice)),
    changed: (plan?.changed ?? []).slice(0, SHOWN).map((line) => changeWords(line, run, voice)),
    refused: run.faults
      .slice(0, SHOWN)
      .map(({ pointer, detail }) =>
        say('import.fault', { place: tell(pointer), words: tell(detail) }),
      ),
    oiledSince: {
      words: since.length === 0 ? '' : count('import.oiled-since', since.length),
      lines: since.slice(0, SHOWN).map((line) => sinceWords(line, voice)),
    },
    untold:
      run.untold.lines === 0
        ? ''
        : count('import.untold', run.untold.lines, {
            fields: run.untold.fields.map((field) => tell(FIELD_MEANINGS[field].title)).join(', '),
          }),
    more: {
      fresh: Math.max(0, (plan?.fresh.length ?? 0) - SHOWN),
      changed: Math.max(0, (plan?.changed.length ?? 0) - SHOWN),
      refused: Math.max(0, run.faults.length - SHOWN),
      oiledSince: Math.max(0, since.length - SHOWN),
    },
    take: `/import/${run.id}/take`,
    buttons:
      good === 0
        ? []
        : refused === 0
          ? [{ lines: 'all', words: count('import.take', good) }]
          : [{ lines: 'good', words: count('import.take.good', good) }],
  };
}

function columnFields(run: OpenRun, sent: Sent | null, { say, tell }: Voice): FieldModel[] {
  const choices: [string, string][] = [
    ['', say('import.column.nothing')],
    ...TABLE_FIELDS.map((name): [string, string] => [name, tell(FIELD_MEANINGS[name].title)]),
  ];
  const fieldOf = new Map<number, TableField>(
    Object.entries(run.settings.columns).map(([name, place]) => [place, name as TableField]),
  );
  return run.header.map((name, place) =>
    choice(
      sent,
      `column/${place}`,
      name === '' ? say('import.column.nameless', { n: String(place + 1) }) : name,
      choices,
      {
        value: fieldOf.get(place) ?? '',
      },
    ),
  );
}

function readingFields(
  { settings, sureOfDays }: OpenRun,
  sent: Sent | null,
  voice: Voice,
): FieldModel[] {
  const { say } = voice;
  const orders = spokenChoices(voice, 'import.days', ['day-first', 'month-first']);
  const open: [string, string][] = sureOfDays ? [] : [['', say('import.days.open')]];
  return [
    choice(sent, 'dayOrder', say('import.days'), [...open, ...orders], {
      value: settings.daysSaid ? settings.dayOrder : '',
      hint: sureOfDays ? say('import.days.sure') : say('import.days.unsure'),
    }),
    choice(
      sent,
      'decimal',
      say('import.decimal'),
      [
        ['.', say('import.decimal.point')],
        [',', say('import.decimal.comma')],
      ],
      { value: settings.decimal },
    ),
  ];
}

/** A word of a closed list with how people say it. */
const spoken =
  ({ tell }: Voice) =>
  (word: string): [string, string] => {
    const told = tell(word);
    return [word, told === word ? word.replaceAll('-', ' ') : told];
  };

function fieldsForAll(
  { settings, patterns }: OpenRun,
  sent: Sent | null,
  voice: Voice,
): FieldModel[] {
  const choices = knownChoices(patterns);
  return FOR_ALL_LINES.map((name) =>
    choice(
      sent,
      `all/${name}`,
      voice.tell(FIELD_MEANINGS[name].title),
      [['', voice.say('import.all.line')], ...choices[name].map(spoken(voice))],
      { value: settings.forAll[name] ?? '' },
    ),
  );
}

function wordFields(
  { unknownWords, settings, patterns }: OpenRun,
  sent: Sent | null,
  voice: Voice,
) {
  const { say, tell } = voice;
  const choices = knownChoices(patterns);
  return unknownWords.map(({ field, word, count }, place) => {
    const kept = settings.words[field]?.[plainName(word)];
    return {
      field: choice(
        sent,
        `word/${field}/${place}`,
        say('import.word', { word, field: tell(FIELD_MEANINGS[field].title) }),
        [
          ['', say('import.word.open')],
          ...choices[field].map(spoken(voice)),
          [SAYS_NOTHING, say('import.word.pass')],
        ],
        { value: kept === '' ? SAYS_NOTHING : kept },
      ),
      named: `own/${field}/${place}`,
      word,
      lines: voice.count('import.lines', count),
    };
  });
}

function howWords({ readAs, lines }: OpenRun, voice: Voice): string[] {
  const { format, separator, encoding, sheet, sheets } = readAs;
  const { say, count } = voice;
  const sign = SEPARATORS.find((one) => one.sign === separator);
  const within = { sheet: sheet ?? '', n: String(sheets.length) };
  return [
    count('import.lines', lines),
    ...(format === 'csv'
      ? [
          say('import.how.sign', {
            sign: sign === undefined ? (separator ?? '') : signWords(voice, sign.value),
          }),
          say('import.how.letters', { encoding: encodingWords(voice, encoding ?? '') }),
        ]
      : [sheets.length > 1 ? say('import.how.sheet.of', within) : say('import.how.sheet', within)]),
  ];
}

/** A new car, with what follows from its last oiling where one is told. */
function freshWords({ row, car }: CarLine, { oil }: OpenRun, { say, locale }: Voice): string {
  const { registration, name, lubricatedOn } = car;
  const due = oil.dueOn.get(row);
  const line = { row: String(row), registration, name };
  return lubricatedOn === undefined || due === undefined
    ? say('import.row', line)
    : say(due.isPast ? 'import.row.oiled.late' : 'import.row.oiled', {
        ...line,
        oiled: locale.plainDay(lubricatedOn),
        due: locale.plainDay(due.day),
      });
}

function sinceWords({ line, oiledSince: on }: KnownLine, { say, locale }: Voice): string {
  const { registration, lubricatedOn } = line.car;
  return say('import.row.since', {
    row: String(line.row),
    registration,
    said: lubricatedOn === undefined ? '' : locale.plainDay(lubricatedOn),
    stands: on === null ? '' : locale.plainDay(on),
  });
}

function changeWords(
  { line, owner, car, bringsTop, oiling }: KnownLine,
  { oil }: OpenRun,
  { say, tell, locale }: Voice,
): string {
  const changes = [...owner, ...car].map(({ field: name, was, becomes }) =>
    say('import.change', {
      field: tell(FIELD_MEANINGS[name].title),
      was: was === null || was === '' ? say('import.change.nothing') : tell(String(was)),
      becomes: tell(String(becomes)),
    }),
  );
  const due = oil.dueOn.get(line.row);
  const all = [
    ...changes,
    ...(bringsTop ? [say('import.change.top')] : []),
    ...(oiling === null
      ? []
      : [
          say('import.change', {
            field: tell(FIELD_MEANINGS.lubricatedOn.title),
            was: oiling.was === null ? say('import.change.nothing') : locale.plainDay(oiling.was),
            becomes: locale.plainDay(oiling.becomes),
          }),
          ...(due === undefined
            ? []
            : [
                say(due.isPast ? 'import.change.due.late' : 'import.change.due', {
                  due: locale.plainDay(due.day),
                }),
              ]),
        ]),
  ];
  const { row, car: known } = line;
  const { registration } = known;
  return say('import.row.changed', { row: String(row), registration, changes: all.join('; ') });
}

function lettersWords({ letters, calls }: OpenRun['oil'], { say, count, tell }: Voice): string[] {
  const field = tell(FIELD_MEANINGS.lubricatedOn.title);
  return [
    letters === 0 ? say('import.letters.none') : count('import.letters', letters),
    ...(calls === 0 ? [] : [count('import.letters.calls', calls)]),
    ...(letters + calls === 0 ? [] : [say('import.letters.better', { field })]),
  ];
}

/** What an import did or would do, kind by kind. */
export function countsOf(
  // What was taken in before tables named oilings counts none.
  { owners, cars, tops, oilings = 0, changed }: Partial<TableTally> & Omit<TableTally, 'oilings'>,
  { count }: Voice,
): string[] {
  return [
    ...(owners > 0 ? [count('import.count.owners', owners)] : []),
    ...(cars > 0 ? [count('import.count.cars', cars)] : []),
    ...(tops > 0 ? [count('import.count.tops', tops)] : []),
    ...(oilings > 0 ? [count('import.count.oilings', oilings)] : []),
    ...(changed > 0 ? [count('import.count.changed', changed)] : []),
  ];
}
