// What a table may hold at most: many times the records of one shop, and nothing that could fill a
// machine (shop rules).
export const MOST_BYTES = 8_000_000;
/** Of a workbook, when it is unpacked. */
export const MOST_UNPACKED = 64_000_000;
export const MOST_FILES_IN_ZIP = 500;
export const MOST_ROWS = 20_000;
export const MOST_COLUMNS = 100;
export const MOST_CELLS = 800_000;
export const MOST_CELL = 4_000;
/** How long a file may take to read. */
export const MOST_READING_MS = 20_000;
export const MOST_MEMORY_MB = 384;

/** How a file is to be read, where somebody says so; guessed where not. */
export interface ReadingWish {
  readonly separator?: string | undefined;
  readonly encoding?: string | undefined;
  /** The sheet of a workbook, by name. */
  readonly sheet?: string | undefined;
}

/** How a file was read, for people to see. */
export interface ReadAs {
  readonly format: 'csv' | 'xlsx';
  readonly separator: string | null;
  readonly encoding: string | null;
  readonly sheet: string | null;
  readonly sheets: readonly string[];
}

/** The cells of a file as text, row by row from the top. */
export interface Grid {
  readonly readAs: ReadAs;
  readonly cells: readonly (readonly string[])[];
}
