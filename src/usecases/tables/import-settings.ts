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
  /** Whether that order is certain: somebody said it, or the days themselves tell it. */
  readonly daysSaid: boolean;
  readonly decimal: DecimalSign;
  /** What holds for every line whose own cell is empty. */
  readonly forAll: Readonly<Partial<Record<ForAllLines, string>>>;
  /** What the organisation's own words for closed lists mean. */
  readonly words: OwnWords;
}

const shape = z.strictObject({
  columns: z.partialRecord(z.enum(TABLE_FIELDS), z.int().min(0)),
  dayOrder: z.enum(['day-first', 'month-first']),
  // What was kept before days in doubt were asked about is read as it was then.
  daysSaid: z.boolean().default(true),
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

/**
 * What a table means: as it was kept of an earlier one with these columns, but for the order of its days
 * where nobody said it; else as it is guessed.
 */
export function settingsOf(
  table: Pick<ReadTable, 'header' | 'rows'>,
  language: string,
  kept: string | null,
): ImportSettings {
  const guessed = guessSettings(table, language);
  const known = kept === null ? null : settingsFrom(kept);
  if (known === null) return guessed;
  if (known.daysSaid) return known;
  const { order, sure } = orderOfDays(table.rows, language);
  return { ...known, dayOrder: order, daysSaid: sure };
}

/** What a table most likely means. */
export function guessSettings(
  { header, rows }: Pick<ReadTable, 'header' | 'rows'>,
  language: string,
): ImportSettings {
  const columns = guessColumns(header, rows.slice(0, ROWS_LOOKED_AT));
  const { order, sure } = orderOfDays(rows, language);
  const decimal = guessDecimal(numberCells(columns, rows));
  return { columns, dayOrder: order, daysSaid: sure, decimal, forAll: {}, words: {} };
}

/** Told by the days of all columns, those too that nobody has named yet. */
export function orderOfDays(rows: ReadTable['rows'], language: string) {
  const usual = language === 'en-US' ? 'month-first' : 'day-first';
  const cells = rows.flatMap((row) => row.filter((cell) => MAY_BE_DAY.test(cell)));
  return guessDayOrder(cells, usual);
}

/**
 * Whether an order of days was answered for days of this table, and holds for the next one too: where its
 * days are years first, or words, what stood chosen on the page answers nothing.
 */
export function isOrderAnswered(rows: ReadTable['rows'], { daysSaid }: ImportSettings): boolean {
  const [one, other] = [orderOfDays(rows, 'en'), orderOfDays(rows, 'en-US')];
  return daysSaid && (one.order === other.order || !one.sure);
}

// The full reading of every cell of a large table would keep others waiting.
const MAY_BE_DAY = /^\s*\d{1,2}\s*[./-]/;

/** How many lines tell what a column holds. */
export const ROWS_LOOKED_AT = 200;

function numberCells(columns: ColumnMap, rows: ReadTable['rows']): string[] {
  const fields = TABLE_FIELDS.filter((field) => FIELD_MEANINGS[field].kind === 'number');
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
