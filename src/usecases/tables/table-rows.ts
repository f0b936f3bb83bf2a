import { z } from 'zod';
import { PLACES, SALTS, USES } from '../../domain/lubrication/keeping.ts';
import { dayFrom, isNoDay, numberFrom } from '../../domain/tables/cell-values.ts';
import { wordFrom } from '../../domain/tables/own-words.ts';
import type { ForAllLines, TableField } from '../../domain/tables/table-fields.ts';
import { FIELD_MEANINGS, FOR_ALL_LINES, TABLE_FIELDS } from '../../domain/tables/table-fields.ts';
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
import type { RowFault } from './row-faults.ts';
import { asCellFault, cellFault, doubtfulDays } from './row-faults.ts';

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
  lubricatedOn: day.optional(),
  framePattern: patternName.optional(),
  powered: z.enum(['yes', 'no']).optional(),
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
  /** Whether anything stands in the cells that a top is recorded by. */
  readonly tellsOfTop: boolean;
}

/** What closed lists may hold, so that a cell can be taken for one of their words. */
export function knownChoices(
  patterns: readonly string[],
): Readonly<Record<ForAllLines, readonly string[]>> {
  return {
    framePattern: patterns,
    powered: carLine.shape.powered.unwrap().options,
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
    const doubts = doubtfulDays(row, cells, settings, reading.thisYear);
    const own = [
      ...surplusFaults(row, table.header.length, cells),
      ...(read.success ? [] : read.error.issues.map(asCellFault(row))),
      ...doubts,
      ...topFaults(row, fields),
    ];
    if (read.success && own.length === 0) lines.push({ row, car: read.data });
    const wrong = [
      ...(read.success ? [] : read.error.issues.map(({ path }) => String(path[0]))),
      ...doubts.map(({ field }) => String(field)),
    ];
    all.push({
      row,
      car: readable(fields, wrong),
      tellsOfTop: TOP_CELLS.some((field) => fields[field] !== undefined),
    });
    faults.push(...own);
  }
  return { lines, all, faults };
}

/** The cells of a line that nothing is wrong with. */
function readable(
  fields: Record<string, string | number>,
  wrong: readonly string[],
): ReadLine['car'] {
  const good = Object.entries(fields).filter(([field]) => !wrong.includes(field));
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
        if (field === 'lubricatedOn' && isNoDay(text)) break;
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

const OF_TOP: readonly string[] = ['framePattern', 'powered', 'material', 'window'];

function surplusFaults(row: number, width: number, cells: readonly string[]): RowFault[] {
  const surplus = cells.slice(width).filter((cell) => cell.trim() !== '');
  if (surplus.length === 0) return [];
  const detail =
    'This row has more cells than there are columns. Quote cells that hold a separator.';
  return [{ row, pointer: `row ${row}`, detail }];
}

/** That a line tells of a top, but not all of it. */
export const TOP_CELL_EMPTY = 'Fill this cell too, or leave all cells about the top empty.';

const TOP_CELLS = ['fittedOn', 'framePattern', 'material', 'window'] as const;

/** A top is recorded with all four of its cells or not at all. */
function topFaults(row: number, fields: Readonly<Record<string, unknown>>): RowFault[] {
  const empty = TOP_CELLS.filter((field) => fields[field] === undefined);
  if (empty.length === TOP_CELLS.length) return [];
  return empty.map((field) => cellFault(row, field, TOP_CELL_EMPTY));
}
