import { readFile, stat } from 'node:fs/promises';
import { Refused } from '../../domain/refusal.ts';
import type { Context } from '../context/context.ts';
import type { Imported } from '../records/import-records.ts';
import { importRecords } from '../records/import-records.ts';
import type { TableOptions } from './import-table.ts';
import { importTable } from './import-table.ts';

export interface ImportRequest extends TableOptions {
  readonly file: string;
  /** The organisation that the cars of a table belong to; null for a document, which says it. */
  readonly organisation: string | null;
}

/**
 * Takes in a file, all of it or nothing: the records that `export` wrote, or a table of cars, CSV or
 * XLSX. Which of them it is, its content says, not its name.
 */
export async function importFile(context: Context, request: ImportRequest): Promise<Imported> {
  const bytes = await bytesOf(request.file);
  if (!isDocument(bytes)) return importTable(context, bytes, request);
  if (request.organisation !== null) {
    throw refused(
      '--organisation is for tables. These records name their organisations themselves.',
    );
  }
  return importRecords(context, documentText(bytes, request.file), request);
}

/** Whether a file is a document of records: JSON, as `export` writes it. */
export function isDocument(bytes: Buffer): boolean {
  return /^(?:\uFEFF|\u00EF\u00BB\u00BF)?\s*[{[]/.test(bytes.subarray(0, 200).toString('latin1'));
}

// The longest text that one string can hold in Node is 2^29 - 24 characters.
const MOST_BYTES = 500_000_000;

async function bytesOf(file: string): Promise<Buffer> {
  const { size } = await stat(file).catch(() => {
    throw refused(`There is no file ${file}.`);
  });
  if (size > MOST_BYTES) {
    throw refused(`${file} is larger than 500 MB. Export its organisations one by one.`);
  }
  const bytes = await readFile(file);
  if (bytes.subarray(0, 15).toString('latin1') === 'SQLite format 3') {
    throw refused(`${file} is a backup, not an export. Use foldkeep restore.`);
  }
  return bytes;
}

function documentText(bytes: Buffer, file: string): string {
  try {
    // Takes the mark away that some programs put before UTF-8.
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw refused(`${file} is not UTF-8.`);
  }
}

function refused(detail: string): Refused {
  return new Refused({ kind: 'conflict', detail });
}
