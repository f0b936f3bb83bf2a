import { Refused } from '../../domain/refusal.ts';
import type { TableRow } from '../../store/records/export-rows.ts';
import { tableRowsOf } from '../../store/records/export-rows.ts';
import { readSnapshot } from '../../store/database/snapshot.ts';
import { writeWholeFile } from '../../store/files/whole-file.ts';
import type { ExportRequest } from '../records/export-records.ts';
import { organisationsAsked } from '../records/export-records.ts';
import type { Cell, Separator } from '../records/table-text.ts';
import { tableText } from '../records/table-text.ts';
import { COLUMNS } from './table-columns.ts';

/**
 * Writes one organisation's cars with their owners and tops as a table, a car a line, into a new
 * file that spreadsheets read and `import` takes back. Owners who were erased are left out. Returns
 * the number of cars.
 */
export async function exportTable(
  databaseUrl: string,
  request: ExportRequest & { readonly separator: Separator },
): Promise<number> {
  const { file, organisation, separator, progress = () => undefined } = request;
  return readSnapshot(databaseUrl, async (sql) => {
    const [only, ...others] = await organisationsAsked(sql, organisation);
    if (only === undefined || others.length > 0) {
      const detail = 'A table holds one organisation: say which with --organisation NAME.';
      throw new Refused({ kind: 'conflict', detail });
    }
    return writeWholeFile(file, async (write) => {
      // Spreadsheets take a file for UTF-8 only where it begins with this mark.
      await write(`\uFEFF${tableText([COLUMNS.map(({ name }) => name)], separator)}`);
      let cars = 0;
      for await (const rows of tableRowsOf(sql, String(only['id']))) {
        await write(tableText(rows.map(cellsOf), separator));
        cars += rows.length;
        progress(`${cars} cars`);
      }
      return cars;
    });
  });
}

/** The cells of a line of the table of cars. */
export function cellsOf(row: TableRow): Cell[] {
  return COLUMNS.map(({ column }) => row[column]);
}
