import { z } from 'zod';
import type { DayOrder, DecimalSign } from '../../domain/tables/cell-values.ts';
import { guessDayOrder, guessDecimal } from '../../domain/tables/cell-values.ts';
import type { ColumnMap } from '../../domain/tables/guess-columns.ts';
import { guessColumns } from '../../domain/tables/guess-columns.ts';
import type { OwnWords } from '../../domain/tables/own-words.ts';
import { unknownWords } from '../../domain/tables/own-words.ts';
import type { ForAllLines, TableField } from '../../domain/tables/table-fields.ts';
import { FIELD_MEANINGS, FOR_ALL_LINES, TABLE_FIELDS } from '../../domain/tables/table-fields.ts';
import type { ReadTable } from './read-table.ts';

/** What the columns of a table mean, and how its cells are read. */
export interface ImportSettings {
  readonly columns: ColumnMap;
  readonly dayOrder: DayOrder;
  readonly decimal: DecimalSign;
  /** What holds for every line whose own cell is empty. */
  readonly forAll: Readonly<Partial<Record<ForAllLines, string>>>;
  /** What the organisation's own words for closed lists mean. */
  readonly words: OwnWords;
}

const shape = z.strictObject({
  columns: z.partialRecord(z.enum(TABLE_FIELDS), z.int().min(0)),
  dayOrder: z.enum(['day-first', 'month-first']),
  decimal: z.enum([',', '.']),
  forAll: z.partialRecord(z.enum(FOR_ALL_LINES), z.string().max(80)),
  // Kept before own words could be said, settings have none.
  words: z
    .partialRecord(z.enum(FOR_ALL_LINES), z.record(z.string().max(80), z.string().max(80)))
    .default({}),
});

/** Settings as they were kept; null where a later program no longer knows them. */
export function settingsFrom(text: string): ImportSettings | null {
  const read = shape.safeParse(JSON.parse(text));
  return read.success ? read.data : null;
}

/** What a table most likely means; `sureOfDays` where its days can be read in one way only. */
export function guessSettings(
  { header, rows }: Pick<ReadTable, 'header' | 'rows'>,
  language: string,
): { readonly settings: ImportSettings; readonly sureOfDays: boolean } {
  const columns = guessColumns(header, rows.slice(0, ROWS_LOOKED_AT));
  const usual = language === 'en-US' ? 'month-first' : 'day-first';
  const { order, sure } = guessDayOrder(cellsOf('day', columns, rows), usual);
  const decimal = guessDecimal(cellsOf('number', columns, rows));
  const settings = { columns, dayOrder: order, decimal, forAll: {}, words: {} };
  return { settings, sureOfDays: sure };
}

const ROWS_LOOKED_AT = 200;

function cellsOf(kind: 'day' | 'number', columns: ColumnMap, rows: ReadTable['rows']): string[] {
  const fields = TABLE_FIELDS.filter((field) => FIELD_MEANINGS[field].kind === kind);
  const places = fields.flatMap((field: TableField) => columns[field] ?? []);
  return rows.flatMap((row) => places.map((place) => row[place] ?? ''));
}

/** An own word of a table for something on a closed list, and in how many lines it stands. */
export interface UnknownWord {
  readonly field: ForAllLines;
  readonly word: string;
  readonly count: number;
}

/** The own words of a table, whether it was said what they mean or not; the most frequent of each field. */
export function unknownWordsIn(
  rows: ReadTable['rows'],
  { columns }: ImportSettings,
  known: Readonly<Record<ForAllLines, readonly string[]>>,
): UnknownWord[] {
  return FOR_ALL_LINES.flatMap((field) => {
    const place = columns[field];
    if (place === undefined) return [];
    const cells = rows.map((row) => row[place] ?? '');
    return unknownWords(field, cells, known[field])
      .slice(0, WORDS_ASKED)
      .map((one) => ({ field, ...one }));
  });
}

// Past this many the column means something else, or is free text.
const WORDS_ASKED = 30;
