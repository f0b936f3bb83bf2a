import { stringify } from 'csv-stringify/sync';
import type { TableRow } from '../../store/records/export-rows.ts';

export type Separator = ',' | ';';
export type Cell = string | number | null;

export interface TableColumn {
  /** What stands in the first line. */
  readonly name: string;
  /** The field of a row that it holds. */
  readonly column: Exclude<keyof TableRow, 'id'>;
  readonly needed: boolean;
}

const needed = (name: string, column: TableColumn['column']) => ({ name, column, needed: true });
const free = (name: string, column: TableColumn['column']) => ({ name, column, needed: false });

/** The columns of a table of cars, as `export --csv` writes and `import` reads them. */
export const COLUMNS: readonly TableColumn[] = [
  needed('owner name', 'name'),
  needed('email', 'email'),
  free('phone', 'phone'),
  free('time zone', 'timeZone'),
  free('language', 'language'),
  needed('registration', 'registration'),
  free('place', 'place'),
  free('salt', 'salt'),
  free('use', 'use'),
  free('folds per year', 'foldsPerYear'),
  free('folded limit days', 'foldedLimitDays'),
  free('fitted on', 'fittedOn'),
  free('frame pattern', 'framePattern'),
  free('material', 'material'),
  free('window', 'window'),
];

/** Lines of a table after RFC 4180, no cell of which a spreadsheet takes for a formula. */
export function tableText(lines: readonly (readonly Cell[])[], separator: Separator): string {
  return stringify(
    lines.map((cells) => cells.map(guarded)),
    { delimiter: separator, record_delimiter: 'windows' },
  );
}

// What makes a spreadsheet compute a cell (OWASP, CSV Injection), and the same signs in full width.
const FORMULA = /^[=+\-@\t\r\n\uFF1D\uFF0B\uFF0D\uFF20]/;

/**
 * A cell that cannot be taken for a formula: an apostrophe stands before what could be one. One that
 * has apostrophes there already gets another, so that `unguarded` gives every text back as it was.
 */
export function guarded(cell: Cell): Cell {
  if (typeof cell !== 'string') return cell;
  return FORMULA.test(cell.replace(/^'+/, '')) ? `'${cell}` : cell;
}

/** The text of a cell without the apostrophe that `guarded` has put before it. */
export function unguarded(text: string): string {
  return text.startsWith("'") && FORMULA.test(text.replace(/^'+/, '')) ? text.slice(1) : text;
}
