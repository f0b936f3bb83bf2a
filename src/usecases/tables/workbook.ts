import { Refused } from '../../domain/refusal.ts';
import type { Cell } from '../records/table-text.ts';
import { workBeside } from './reading-thread.ts';

/** A sheet of a workbook: the names of its columns, and lines below. */
export interface Sheet {
  readonly name: string;
  readonly lines: readonly (readonly Cell[])[];
}

/**
 * Writes a workbook, in a thread of its own. Texts are written as texts: a program that opens it
 * computes none of them, whatever they begin with.
 */
export async function workbookOf(sheets: readonly Sheet[]): Promise<Buffer> {
  const bytes = await workBeside<Uint8Array>(WRITER, ['write-excel-file/node'], { sheets });
  if (bytes === null) {
    const detail = 'The workbook is too large to be written. Take the tables one by one, as CSV.';
    throw new Refused({ kind: 'conflict', detail });
  }
  return Buffer.from(bytes);
}

const WRITER = `
const { parentPort, workerData: { sheets, paths } } = require('node:worker_threads');
const writer = require(paths['write-excel-file/node']);
const writeWorkbook = writer.default ?? writer;
const cellOf = (value, isName) => {
  if (value === null) return null;
  if (typeof value === 'number') return { value, type: Number };
  return { value: String(value), type: String, ...(isName ? { fontWeight: 'bold' } : {}) };
};
const book = sheets.map(({ name, lines }) => ({
  sheet: name,
  data: lines.map((line, row) => line.map((value) => cellOf(value, row === 0))),
  columns: (lines[0] ?? []).map((title) => ({ width: Math.max(12, String(title).length + 2) })),
  stickyRowsCount: 1,
}));
writeWorkbook(book).toBuffer().then((bytes) => parentPort.postMessage(bytes));
process.on('unhandledRejection', (fault) => { throw fault; });
`;
