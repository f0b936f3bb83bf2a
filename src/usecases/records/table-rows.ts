import { CsvError, parse } from 'csv-parse/sync';
import { z } from 'zod';
import type { Fault } from '../../domain/refusal.ts';
import { invalid, Refused } from '../../domain/refusal.ts';
import {
  coverMaterial,
  day,
  handbookFields,
  keepingFields,
  ownerFields,
  patternName,
  registration,
  windowKind,
} from './record-fields.ts';
import type { Separator, TableColumn } from './table-cells.ts';
import { COLUMNS, unguarded } from './table-cells.ts';

const { refusesCalls: _calls, ...owner } = ownerFields;
const { unmovedDays: _unmoved, ...keeping } = keepingFields;
const carLine = z.strictObject({
  ...owner,
  registration,
  ...keeping,
  foldedLimitDays: handbookFields.foldedLimitDays,
  fittedOn: day.optional(),
  framePattern: patternName.optional(),
  material: coverMaterial.optional(),
  window: windowKind.optional(),
});

/** One car of a table, with the row in which a spreadsheet shows it; the first row has the names. */
export interface CarLine {
  readonly row: number;
  readonly car: z.infer<typeof carLine>;
}

/** A fault at a cell, as people look for it in a spreadsheet. */
export function cellFault(row: number, column: TableColumn['column'], detail: string): Fault {
  const titled = COLUMNS.find((one) => one.column === column)?.name ?? column;
  return { pointer: `row ${row}, ${titled}`, detail };
}

/**
 * Reads a table of cars: `,` or `;` between cells, the names of the columns in the first row, in any
 * order. Cells are held against the rules of the API. Returns the good rows and every fault of the
 * others; a table whose columns are not right is refused at once.
 */
export function carLinesIn(text: string): { lines: CarLine[]; faults: Fault[] } {
  const [names = [], ...rows] = cellsIn(text);
  const columns = columnsNamed(names);
  const lines: CarLine[] = [];
  const faults: Fault[] = [];
  for (const [i, cells] of rows.entries()) {
    // The names stand in row 1 of a spreadsheet.
    const row = i + 2;
    if (cells.every((cell) => cell.trim() === '')) continue;
    const read = carLine.safeParse(fieldsOf(columns, cells));
    const own = [
      ...surplusFaults(row, columns, cells),
      ...(read.success ? topFaults(row, read.data) : read.error.issues.map(asCellFault(row))),
    ];
    if (read.success && own.length === 0) lines.push({ row, car: read.data });
    faults.push(...own);
  }
  return { lines, faults };
}

function cellsIn(text: string): string[][] {
  try {
    return parse(text, { delimiter: separatorOf(text), relax_column_count: true, bom: true });
  } catch (fault) {
    if (!(fault instanceof CsvError)) throw fault;
    const line = typeof fault['lines'] === 'number' ? `line ${fault['lines']}` : 'the table';
    throw invalid(line, 'The quotation marks do not match. Double those that are part of a cell.');
  }
}

/** The separator that stands more often among the names of the columns. */
function separatorOf(text: string): Separator {
  const first = text.split(/[\r\n]/, 1)[0] ?? '';
  return first.split(';').length > first.split(',').length ? ';' : ',';
}

function columnsNamed(names: readonly string[]): TableColumn[] {
  const list = COLUMNS.map((column) => column.name).join(', ');
  const faults: Fault[] = [];
  const seen = new Set<string>();
  const columns = names.flatMap((written) => {
    const name = written
      .trim()
      .toLowerCase()
      .replace(/[\s_-]+/g, ' ');
    const found = COLUMNS.find((column) => column.name === name);
    if (found === undefined) {
      const detail = `There is no column "${written.trim()}". The columns are: ${list}.`;
      faults.push({ pointer: 'row 1', detail });
    } else if (seen.has(name)) {
      faults.push({ pointer: 'row 1', detail: `The column "${name}" stands here twice.` });
    }
    seen.add(name);
    return found === undefined ? [] : [found];
  });
  for (const { name, needed } of COLUMNS) {
    if (needed && !seen.has(name)) {
      faults.push({ pointer: 'row 1', detail: `The column "${name}" is missing.` });
    }
  }
  if (faults.length > 0) throw new Refused({ kind: 'invalid', faults });
  return columns;
}

const NUMBERS: readonly TableColumn['column'][] = ['foldsPerYear', 'foldedLimitDays'];

function fieldsOf(columns: readonly TableColumn[], cells: readonly string[]) {
  const fields: Partial<Record<TableColumn['column'], string | number>> = {};
  for (const [i, { column }] of columns.entries()) {
    const text = unguarded((cells[i] ?? '').trim());
    if (text === '') continue;
    fields[column] = NUMBERS.includes(column) && /^-?\d+$/.test(text) ? Number(text) : text;
  }
  return fields;
}

function surplusFaults(
  row: number,
  columns: readonly TableColumn[],
  cells: readonly string[],
): Fault[] {
  const surplus = cells.slice(columns.length).filter((cell) => cell.trim() !== '');
  if (surplus.length === 0) return [];
  const detail = `This row has more cells than there are columns. Quote cells that hold a separator.`;
  return [{ pointer: `row ${row}`, detail }];
}

const asCellFault =
  (row: number) =>
  (issue: z.core.$ZodIssue): Fault => {
    const column = String(issue.path[0]) as TableColumn['column'];
    return cellFault(row, column, wordsOf(issue, NUMBERS.includes(column)));
  };

function wordsOf(issue: z.core.$ZodIssue, isNumber: boolean): string {
  if (issue.code === 'invalid_type') return isNumber ? 'Give a whole number.' : 'Fill this cell.';
  if (issue.code === 'invalid_value') {
    // An empty cell of a fixed list and a word that is not on it are one fault to zod.
    return `Write one of: ${issue.values.join(', ')}.`;
  }
  return issue.message;
}

/** A top is recorded with all four of its cells or not at all. */
function topFaults(row: number, car: CarLine['car']): Fault[] {
  const cells = ['fittedOn', 'framePattern', 'material', 'window'] as const;
  const empty = cells.filter((column) => car[column] === undefined);
  if (empty.length === cells.length) return [];
  return empty.map((column) =>
    cellFault(row, column, 'Fill this cell too, or leave all cells about the top empty.'),
  );
}
