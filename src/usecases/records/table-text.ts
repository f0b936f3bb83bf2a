import { stringify } from 'csv-stringify/sync';

export type Separator = ',' | ';';
export type Cell = string | number | null;

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
