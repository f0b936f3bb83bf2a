import { DAY_ADVICE } from '../../domain/calendar/day.ts';
import type { Fault } from '../../domain/refusal.ts';
import { twoDaysIn } from '../../domain/tables/cell-values.ts';
import type { TableField } from '../../domain/tables/table-fields.ts';
import { FIELD_MEANINGS, TABLE_FIELDS } from '../../domain/tables/table-fields.ts';
import type { z } from 'zod';
import type { ImportSettings } from './import-settings.ts';

/** A fault of a table, with the row that it is in. */
export interface RowFault extends Fault {
  readonly row: number;
  /** What the cell is about; absent where it is the line as a whole. */
  readonly field?: TableField;
  /** The cell whose day can be read in two ways, where that is the fault. */
  readonly doubtful?: string;
}

/** A fault at a cell, as people look for it in a spreadsheet. */
export function cellFault(row: number, field: TableField, detail: string): RowFault {
  return { row, field, pointer: `row ${row}, ${FIELD_MEANINGS[field].title}`, detail };
}

/** What the shape says against a cell, in the words of a table. */
export const asCellFault =
  (row: number) =>
  (issue: z.core.$ZodIssue): RowFault => {
    const field = String(issue.path[0]) as TableField;
    return cellFault(row, field, wordsOf(issue, field));
  };

function wordsOf(issue: z.core.$ZodIssue, field: TableField): string {
  const { kind } = FIELD_MEANINGS[field];
  if (field === 'lubricatedOn') return OILING_ADVICE;
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

// Too early is the safe side: the next oiling is then due rather early than late.
const OILING_ADVICE =
  'This is no day. Write it as YYYY-MM-DD; where you know the month alone, its first day; where you know nothing, leave the cell empty.';

const DAYS = TABLE_FIELDS.filter((field) => FIELD_MEANINGS[field].kind === 'day');

/** Days of a line that can be read in two ways, while nobody has said in which order they are written. */
export function doubtfulDays(
  row: number,
  cells: readonly string[],
  { columns, daysSaid }: ImportSettings,
  thisYear: number,
): RowFault[] {
  if (daysSaid) return [];
  return DAYS.flatMap((field) => {
    const cell = (cells[columns[field] ?? -1] ?? '').trim();
    const two = twoDaysIn(cell, thisYear);
    if (two === null) return [];
    const detail = `${cell} can be ${two[0]} or ${two[1]}. Say in which order the days of this table are written, or write it as YYYY-MM-DD.`;
    return [{ ...cellFault(row, field, detail), doubtful: cell }];
  });
}
