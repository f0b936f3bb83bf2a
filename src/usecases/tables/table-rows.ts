import { DAY_ADVICE } from '../../domain/calendar/day.ts';
import { z } from 'zod';
import { PLACES, SALTS, USES } from '../../domain/lubrication/keeping.ts';
import { dayFrom, numberFrom } from '../../domain/tables/cell-values.ts';
import { wordFrom } from '../../domain/tables/own-words.ts';
import type { ForAllLines, TableField } from '../../domain/tables/table-fields.ts';
import { FIELD_MEANINGS, FOR_ALL_LINES, TABLE_FIELDS } from '../../domain/tables/table-fields.ts';
import type { Fault } from '../../domain/refusal.ts';
import {
  carWords,
  coverMaterial,
  day,
  handbookFields,
  keepingFields,
  ownerFields,
  patternName,
  registration,
  topWords,
  windowKind,
} from '../records/record-fields.ts';
import type { ImportSettings } from './import-settings.ts';
import type { ReadTable } from './read-table.ts';

const { refusesCalls: _calls, ...owner } = ownerFields;
const { unmovedDays: _unmoved, ...keeping } = keepingFields;
const carLine = z.strictObject({
  ...owner,
  registration,
  ...carWords,
  ...keeping,
  foldedLimitDays: handbookFields.foldedLimitDays,
  foldFloorCelsius: handbookFields.foldFloorCelsius,
  fittedOn: day.optional(),
  framePattern: patternName.optional(),
  material: coverMaterial.optional(),
  window: windowKind.optional(),
  ...topWords,
});

/** One car of a table, with the row in which a spreadsheet shows it. */
export interface CarLine {
  readonly row: number;
  readonly car: z.infer<typeof carLine>;
}

/** Any line of a table: what of it can be read, be the line refused or not. */
export interface ReadLine {
  readonly row: number;
  readonly car: Partial<CarLine['car']>;
}

/** A fault of a table, with the row that it is in. */
export interface RowFault extends Fault {
  readonly row: number;
  /** What the cell is about; absent where it is the line as a whole. */
  readonly field?: TableField;
}

/** A fault at a cell, as people look for it in a spreadsheet. */
export function cellFault(row: number, field: TableField, detail: string): RowFault {
  return { row, field, pointer: `row ${row}, ${FIELD_MEANINGS[field].title}`, detail };
}

/** What closed lists may hold, so that a cell can be taken for one of their words. */
export function knownChoices(
  patterns: readonly string[],
): Readonly<Record<ForAllLines, readonly string[]>> {
  return {
    framePattern: patterns,
    material: coverMaterial.options,
    window: windowKind.options,
    place: PLACES,
    salt: SALTS,
    use: USES,
  };
}

/**
 * Reads the lines of a table by what its columns mean. Cells are held against the rules of the API.
 * Returns the good lines, every line as far as it can be read, so that whatever else is wrong with a
 * refused one is found in the same go, and every fault; lines without a word are no lines.
 */
export function carLinesIn(
  table: Pick<ReadTable, 'header' | 'rows' | 'firstRow'>,
  settings: ImportSettings,
  reading: { readonly patterns: readonly string[]; readonly thisYear: number },
): { lines: CarLine[]; all: ReadLine[]; faults: RowFault[] } {
  const choices = knownChoices(reading.patterns);
  const lines: CarLine[] = [];
  const all: ReadLine[] = [];
  const faults: RowFault[] = [];
  for (const [i, cells] of table.rows.entries()) {
    const row = table.firstRow + i;
    if (cells.every((cell) => cell.trim() === '')) continue;
    const fields = fieldsOf(cells, settings, choices, reading.thisYear);
    const read = carLine.safeParse(fields);
    const own = [
      ...surplusFaults(row, table.header.length, cells),
      ...(read.success ? [] : read.error.issues.map(asCellFault(row))),
      ...topFaults(row, fields),
    ];
    if (read.success && own.length === 0) lines.push({ row, car: read.data });
    all.push({ row, car: read.success ? read.data : readable(fields, read.error.issues) });
    faults.push(...own);
  }
  return { lines, all, faults };
}

/** The cells of a refused line that nothing is wrong with. */
function readable(
  fields: Record<string, string | number>,
  issues: readonly z.core.$ZodIssue[],
): ReadLine['car'] {
  const wrong = new Set(issues.map(({ path }) => String(path[0])));
  const good = Object.entries(fields).filter(([field]) => !wrong.has(field));
  const read = carLine.partial().safeParse(Object.fromEntries(good));
  return read.success ? read.data : {};
}

function fieldsOf(
  cells: readonly string[],
  { columns, dayOrder, decimal, forAll, words }: ImportSettings,
  choices: ReturnType<typeof knownChoices>,
  thisYear: number,
): Record<string, string | number> {
  const fields: Record<string, string | number> = {};
  const said = (field: TableField) => {
    const place = columns[field];
    return place === undefined ? '' : (cells[place] ?? '').trim();
  };
  for (const field of TABLE_FIELDS) {
    const text = said(field);
    if (text === '') continue;
    switch (FIELD_MEANINGS[field].kind) {
      case 'text':
        fields[field] = text;
        break;
      case 'day':
        fields[field] = dayFrom(text, dayOrder, thisYear) ?? text;
        break;
      case 'number':
        fields[field] = numberFrom(text, decimal) ?? text;
        break;
      case 'choice': {
        const closed = field as ForAllLines;
        const word = wordFrom(closed, text, choices[closed], words);
        if (word !== '') fields[field] = word;
      }
    }
  }
  const { firstName, surname, ...rest } = fields;
  const whole = [firstName, surname].filter((part) => part !== undefined).join(' ');
  if (rest['name'] === undefined && whole !== '') rest['name'] = whole;
  for (const field of FOR_ALL_LINES) {
    const all = forAll[field];
    // What is said of the top of all lines makes no top of a line that has none.
    if (all === undefined || rest[field] !== undefined) continue;
    if (OF_TOP.includes(field) && rest['fittedOn'] === undefined) continue;
    rest[field] = all;
  }
  return rest;
}

const OF_TOP: readonly string[] = ['framePattern', 'material', 'window'];

function surplusFaults(row: number, width: number, cells: readonly string[]): RowFault[] {
  const surplus = cells.slice(width).filter((cell) => cell.trim() !== '');
  if (surplus.length === 0) return [];
  const detail =
    'This row has more cells than there are columns. Quote cells that hold a separator.';
  return [{ row, pointer: `row ${row}`, detail }];
}

const asCellFault =
  (row: number) =>
  (issue: z.core.$ZodIssue): RowFault => {
    const field = String(issue.path[0]) as TableField;
    return cellFault(row, field, wordsOf(issue, field));
  };

function wordsOf(issue: z.core.$ZodIssue, field: TableField): string {
  const { kind } = FIELD_MEANINGS[field];
  if (kind === 'day') return DAY_ADVICE;
  if (issue.code === 'invalid_type') {
    if (kind !== 'number') return 'Fill this cell.';
    return field === 'foldFloorCelsius' ? 'Give a number.' : 'Give a whole number.';
  }
  if (issue.code === 'invalid_value') {
    // An empty cell of a fixed list and a word that is not on it are one fault to zod.
    return `Write one of: ${issue.values.filter((value) => value !== null).join('; ')}.`;
  }
  return issue.message;
}

/** That a line tells of a top, but not all of it. */
export const TOP_CELL_EMPTY = 'Fill this cell too, or leave all cells about the top empty.';

/** A top is recorded with all four of its cells or not at all. */
function topFaults(row: number, fields: Readonly<Record<string, unknown>>): RowFault[] {
  const cells = ['fittedOn', 'framePattern', 'material', 'window'] as const;
  const empty = cells.filter((field) => fields[field] === undefined);
  if (empty.length === cells.length) return [];
  return empty.map((field) => cellFault(row, field, TOP_CELL_EMPTY));
}
