import { MOST_ROWS } from './grid.ts';
import { unguarded } from '../records/table-text.ts';
import { readBeside } from './reading-thread.ts';
import type { Grid, ReadingWish } from './grid.ts';

const SEPARATORS = [',', ';', '\t', '|'] as const;

/** The cells of a text with separators, whatever its letters and separators are. */
export async function csvGrid(bytes: Buffer, wish: ReadingWish): Promise<Grid> {
  const encoding = wish.encoding ?? encodingOf(bytes);
  const { text, named } = withoutSeparatorLine(new TextDecoder(encoding).decode(bytes));
  const separator = wish.separator ?? named ?? separatorOf(text);
  const { cells } = await readBeside(READER, ['csv-parse/sync'], {
    text,
    separator,
    mostRows: MOST_ROWS + 1,
  });
  // A workbook knows a text for a text; here an apostrophe stood before what looks like a formula.
  const plain = cells.map((row) => row.map((cell) => unguarded(cell.trim())));
  const readAs = { format: 'csv', separator, encoding, sheet: null, sheets: [] } as const;
  return { readAs, cells: plain };
}

/** A first line "sep=;" is for the spreadsheet, which shows the table without it. */
function withoutSeparatorLine(text: string): { text: string; named: string | null } {
  const found = /^sep=([,;\t|])\r?\n/i.exec(text);
  return found === null
    ? { text, named: null }
    : { text: text.slice(found[0].length), named: found[1] ?? null };
}

/**
 * The letters of a text: by the mark that it begins with, else UTF-16 where every second byte is zero,
 * as it is in plain words without that mark, else UTF-8 where all of it is, else those of older Windows
 * programs, in which every byte is a letter.
 */
function encodingOf(bytes: Buffer): string {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return 'utf-16le';
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return 'utf-16be';
  const begins = bytes.subarray(0, 200);
  const zeros = (rest: number) =>
    begins.filter((byte, i) => byte === 0 && i % 2 === rest).length * 4 > begins.length;
  if (zeros(1)) return 'utf-16le';
  if (zeros(0)) return 'utf-16be';
  try {
    new TextDecoder('utf-8', { fatal: true }).decode(bytes);
    return 'utf-8';
  } catch {
    return 'windows-1252';
  }
}

/** More than any cells of the first lines. */
const EVERYWHERE = 1e6;

/**
 * The separator that stands equally often in all of the first lines, outside of quotation marks; else the
 * one that parts most cells in lines that agree, so that a title above, decimal commas, or a line with a
 * cell too many mislead nobody.
 */
function separatorOf(text: string): string {
  const lines = text
    .slice(0, 20_000)
    .split(/\r\n|\r|\n/)
    .filter((line) => line.trim() !== '')
    .slice(0, 10)
    .map((line) => line.replaceAll(/"(?:[^"]|"")*"/g, ''));
  let best: string = ',';
  let most = 0;
  for (const separator of SEPARATORS) {
    const counts = lines.map((line) => line.split(separator).length - 1);
    const parted = counts.map((usual) => usual * counts.filter((count) => count === usual).length);
    const isEverywhere = counts.every((count) => count > 0 && count === counts[0]);
    const rank = Math.max(0, ...parted) + (isEverywhere ? EVERYWHERE : 0);
    if (rank > most) {
      most = rank;
      best = separator;
    }
  }
  return best;
}

const READER = `
const { parentPort, workerData: { text, separator, paths, mostRows } } = require('node:worker_threads');
const { parse } = require(paths['csv-parse/sync']);
try {
  const cells = parse(text, { delimiter: separator, relax_column_count: true, bom: true, to: mostRows + 1 });
  parentPort.postMessage({ cells });
} catch (fault) {
  const line = typeof fault.lines === 'number' ? 'From line ' + fault.lines + ' on' : 'Somewhere';
  parentPort.postMessage({
    wrong: line + ' the quotation marks do not match. Double those that are part of a cell.',
  });
}
`;
