import { once } from 'node:events';
import type { Readable } from 'node:stream';
import { PassThrough } from 'node:stream';
import type { ExportRow } from '../../store/records/export-rows.ts';
import {
  ownerTable,
  readingTable,
  tableRowsOf,
  topTable,
  visitTable,
} from '../../store/records/export-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { noteDeed } from '../../store/trail/trail-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { showOrganisation } from '../organisations/organisations.ts';
import { exportInto } from '../records/export-records.ts';
import type { Cell, Separator } from '../records/table-text.ts';
import { tableText } from '../records/table-text.ts';
import { cellsOf } from './export-table.ts';
import { COLUMNS } from './table-columns.ts';
import type { Sheet } from './workbook.ts';
import { workbookOf } from './workbook.ts';

/** The tables of an export; the first is the one that an import takes back. */
export const EXPORT_TABLES = ['cars', 'owners', 'tops', 'visits', 'readings'] as const;
export type ExportTable = (typeof EXPORT_TABLES)[number];

/** One table of the caller's organisation as CSV that a spreadsheet computes nothing of. */
export async function tableAsCsv(
  context: Context,
  caller: Caller,
  table: ExportTable,
  separator: Separator,
): Promise<string> {
  requireRight(caller, 'keep-people');
  await noted(context, caller, `${table} as CSV`);
  const { lines } = await sheetOf(context.store.sql, caller.organisationId, table);
  // Spreadsheets take a file for UTF-8 only where it begins with this mark.
  return `\uFEFF${tableText(lines, separator)}`;
}

/** All tables of the caller's organisation as one workbook. */
export async function tablesAsWorkbook(context: Context, caller: Caller): Promise<Buffer> {
  requireRight(caller, 'keep-people');
  await noted(context, caller, 'all tables as a workbook');
  const sheets: Sheet[] = [];
  for (const table of EXPORT_TABLES) {
    sheets.push(await sheetOf(context.store.sql, caller.organisationId, table));
  }
  return workbookOf(sheets);
}

/**
 * The complete document of the caller's organisation, as it is at one moment, piece by piece: what
 * `import` takes into an empty database.
 */
export async function wholeDocument(
  context: Context,
  caller: Caller,
  databaseUrl: string,
): Promise<Readable> {
  requireRight(caller, 'keep-people');
  await noted(context, caller, 'the complete document');
  const { name } = await showOrganisation(context, caller);
  const pieces = new PassThrough();
  const write = async (text: string) => {
    if (!pieces.write(text)) await once(pieces, 'drain');
  };
  exportInto(databaseUrl, context.now(), name, write).then(
    () => pieces.end(),
    (fault: Error) => pieces.destroy(fault),
  );
  return pieces;
}

/** Notes in the trail that somebody takes records out. */
async function noted(context: Context, caller: Caller, what: string): Promise<void> {
  const { organisationId, author } = caller;
  const { id: by, name: authorName } = author;
  const entry = { id: newId(), organisationId, author: by, authorName, at: context.now() };
  await context.store.writeSql((sql) => noteDeed(sql, entry, 'export', { takenOut: what }));
}

async function sheetOf(sql: Sql, organisationId: string, table: ExportTable): Promise<Sheet> {
  if (table === 'cars') return { name: table, lines: await carLines(sql, organisationId) };
  const rows = await OTHERS[table](sql, organisationId);
  const names = Object.keys(rows[0] ?? {});
  return {
    name: table,
    lines: [names, ...rows.map((row) => names.map((name) => cellOf(row[name])))],
  };
}

const OTHERS = {
  owners: ownerTable,
  tops: topTable,
  visits: visitTable,
  readings: readingTable,
} as const satisfies Record<
  Exclude<ExportTable, 'cars'>,
  (sql: Sql, organisationId: string) => Promise<ExportRow[]>
>;

async function carLines(sql: Sql, organisationId: string): Promise<Cell[][]> {
  const lines: Cell[][] = [COLUMNS.map(({ name }) => name)];
  for await (const rows of tableRowsOf(sql, organisationId)) lines.push(...rows.map(cellsOf));
  return lines;
}

function cellOf(value: ExportRow[string] | undefined): Cell {
  return typeof value === 'boolean' ? (value ? 'yes' : 'no') : (value ?? null);
}
