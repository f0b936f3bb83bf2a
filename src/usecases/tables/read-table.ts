import { Refused } from '../../domain/refusal.ts';
import { csvGrid } from './csv-grid.ts';
import type { Grid, ReadAs, ReadingWish } from './grid.ts';
import { MOST_BYTES, MOST_CELL, MOST_CELLS, MOST_COLUMNS, MOST_ROWS } from './grid.ts';
import { isZip, xlsxGrid } from './xlsx-grid.ts';

/** A table out of a file: the names of its columns and the lines below them. */
export interface ReadTable {
  readonly readAs: ReadAs;
  readonly header: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** The row in which a spreadsheet shows the first of the lines. */
  readonly firstRow: number;
}

/**
 * Reads a table out of a file, CSV or XLSX, whatever its columns are. Nothing in it is computed: of a
 * formula the value counts that its program kept. Refused where it is larger than one shop's records
 * can be, unpacked or not.
 */
export async function readTable(bytes: Buffer, wish: ReadingWish): Promise<ReadTable> {
  if (bytes.length > MOST_BYTES) throw tooLarge();
  if (bytes.length === 0) throw refused('The file is empty.');
  const grid = isZip(bytes) ? await xlsxGrid(bytes, wish) : await csvGrid(bytes, wish);
  return tableIn(grid);
}

function tableIn({ readAs, cells }: Grid): ReadTable {
  if (cells.length > MOST_ROWS + 1) throw tooLarge();
  const width = Math.max(0, ...cells.map((row) => row.length));
  if (width > MOST_COLUMNS || width * cells.length > MOST_CELLS) throw tooLarge();
  if (cells.some((row) => row.some((cell) => cell.length > MOST_CELL))) {
    throw refused(`A cell has more than ${MOST_CELL} characters. Shorten it and hand it in again.`);
  }
  // A title above the table stands alone in its row.
  const at = cells.findIndex((row) => row.filter((cell) => cell.trim() !== '').length > 1);
  const names = cells[at];
  if (names === undefined) {
    throw refused(
      'There is no table in it: the names of the columns stand in one row, cars below.',
    );
  }
  const header = names.map((name) => name.trim());
  return { readAs, header, rows: cells.slice(at + 1), firstRow: at + 2 };
}

function tooLarge(): Refused {
  const most = `${MOST_BYTES / 1e6} MB, ${MOST_ROWS} lines, ${MOST_COLUMNS} columns`;
  return refused(`The table is too large: at most ${most}. Hand it in piece by piece.`);
}

function refused(detail: string): Refused {
  return new Refused({ kind: 'conflict', detail });
}
