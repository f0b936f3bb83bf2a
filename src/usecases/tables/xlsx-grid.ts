import { Refused } from '../../domain/refusal.ts';
import { MOST_ROWS } from './grid.ts';
import { readBeside } from './reading-thread.ts';
import type { Grid, ReadingWish } from './grid.ts';
import { unpack } from './unpack.ts';

/** Whether a file is a package of files, as a workbook is. */
export function isZip(bytes: Buffer): boolean {
  return bytes.subarray(0, 4).toString('latin1') === 'PK\u0003\u0004';
}

/**
 * The cells of a sheet of a workbook: the one asked for, else the first that holds a table. The reader
 * sees only what was unpacked and measured before, packed anew without compression, so that it cannot
 * be made to unpack more than that.
 */
export async function xlsxGrid(bytes: Buffer, { sheet }: ReadingWish): Promise<Grid> {
  const files = await unpack(bytes, (name) => /\.(?:xml|rels)$/i.test(name));
  if (!files.has('xl/workbook.xml')) {
    const detail = 'This is no workbook. Save it as XLSX or CSV, and hand it in again.';
    throw new Refused({ kind: 'conflict', detail });
  }
  const found = await readBeside(READER, ['fflate', 'read-excel-file/node'], {
    files: Object.fromEntries(files),
    asked: sheet ?? null,
    mostRows: MOST_ROWS + 1,
  });
  const { cells, sheets = [] } = found;
  const readAs = {
    format: 'xlsx',
    separator: null,
    encoding: null,
    sheet: found.sheet ?? null,
  } as const;
  return { readAs: { ...readAs, sheets }, cells };
}

const READER = `
const { parentPort, workerData: { files, asked, paths, mostRows } } = require('node:worker_threads');
const { zipSync } = require(paths.fflate);
const reader = require(paths['read-excel-file/node']);
const readWorkbook = reader.default ?? reader;
const two = (n) => String(n).padStart(2, '0');
function textOf(cell) {
  if (cell === null || cell === undefined) return '';
  if (cell instanceof Date) {
    if (Number.isNaN(cell.getTime())) return '';
    const text = cell.toISOString();
    return text.endsWith('T00:00:00.000Z') ? text.slice(0, 10) : text.slice(0, 19);
  }
  if (cell === true) return 'yes';
  if (cell === false) return 'no';
  return String(cell);
}
(async () => {
  const packed = Buffer.from(zipSync(files, { level: 0 }));
  const all = await readWorkbook(packed, { trim: false });
  const holds = ({ data }) => data.filter((row) => row.filter((cell) => cell !== null && cell !== '').length > 1).length > 0;
  const taken = all.find(({ sheet }) => sheet === asked) ?? all.find(holds) ?? all[0];
  if (taken === undefined) return parentPort.postMessage({ wrong: 'The workbook has no sheet.' });
  const cells = taken.data.slice(0, mostRows + 1).map((row) => row.map(textOf));
  parentPort.postMessage({ cells, sheet: taken.sheet, sheets: all.map(({ sheet }) => sheet) });
})();
process.on('unhandledRejection', (fault) => { throw fault; });
`;
