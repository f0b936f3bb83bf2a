import type { Instant } from '../../domain/calendar/instant.ts';
import { Refused } from '../../domain/refusal.ts';
import type { Row } from '../../store/records/export-rows.ts';
import { organisationRows, rowsOf } from '../../store/records/export-rows.ts';
import { UNSEEN_ROWS } from '../../store/sharing/sight.ts';
import { readSnapshot } from '../../store/database/snapshot.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { TextWriter } from '../../store/files/whole-file.ts';
import { writeWholeFile } from '../../store/files/whole-file.ts';
import { withoutTokens } from '../context/links.ts';
import type { RecordSet } from './record-set.ts';
import { columnsOf, ORGANISATION, RECORD_SETS } from './record-sets.ts';

export const DOCUMENT_FORMAT = 'foldkeep-records';
/** Rises when an older program could no longer read what a newer one writes. */
export const DOCUMENT_VERSION = 1;

/** How many records of each kind were written or read, by the name of their set. */
export type Tally = Record<string, number>;

/** Told now and then how far a long piece of work has come. */
export type Progress = (words: string) => void;

export interface ExportRequest {
  readonly file: string;
  /** Only the organisation of this name; all where null. */
  readonly organisation: string | null;
  readonly progress?: Progress;
}

/**
 * Writes the records as one JSON document, as they are at one moment, into a new file: one record a
 * line, a few hundred in memory at a time. It opens nothing: keys, links and sessions stay out, and
 * the links that stand in letters lose their tokens.
 */
export async function exportRecords(
  databaseUrl: string,
  at: Instant,
  request: ExportRequest,
): Promise<Tally> {
  return readSnapshot(databaseUrl, async (sql) => {
    const organisations = await organisationsAsked(sql, request.organisation);
    return writeWholeFile(request.file, (write) =>
      writeDocument(sql, at, organisations, { write, progress: request.progress, without: {} }),
    );
  });
}

/**
 * Writes the document of the organisation of a name piece by piece, as its records are at one moment,
 * for its own people to read: a club's is without what its members do not show it.
 */
export async function exportInto(
  databaseUrl: string,
  at: Instant,
  organisation: string,
  write: TextWriter,
): Promise<void> {
  await readSnapshot(databaseUrl, async (sql) => {
    const organisations = await organisationsAsked(sql, organisation);
    await writeDocument(sql, at, organisations, { write, without: UNSEEN_ROWS });
  });
}

/** The organisations to export, by id; refused where there is none of the name that was asked for. */
export async function organisationsAsked(sql: Sql, name: string | null): Promise<Row[]> {
  const rows = await organisationRows(sql, columnsOf(ORGANISATION), name);
  if (rows.length > 0) return rows;
  const detail =
    name === null ? 'There are no records to export yet.' : `There is no organisation "${name}".`;
  throw new Refused({ kind: 'conflict', detail });
}

interface Writing {
  readonly write: TextWriter;
  readonly progress?: Progress | undefined;
  /** Rows to leave out, by table. */
  readonly without: Readonly<Record<string, string>>;
}

async function writeDocument(
  sql: Sql,
  at: Instant,
  organisations: readonly Row[],
  { write, progress = () => undefined, without }: Writing,
): Promise<Tally> {
  const tally: Tally = { organisations: organisations.length };
  const head = { format: DOCUMENT_FORMAT, version: DOCUMENT_VERSION, exportedAt: at };
  await write(`${opened(head)},"organisations":[`);
  for (const [nth, organisation] of organisations.entries()) {
    await write(`${nth === 0 ? '' : ','}\n${opened(recordOf(ORGANISATION, organisation))}`);
    for (const set of RECORD_SETS) {
      await write(`,\n"${set.name}":[`);
      let count = 0;
      const { table, beside, key, atOnce } = set;
      const columns = columnsOf(set);
      const source = { table, beside, columns, key, atOnce, without: without[table] };
      for await (const rows of rowsOf(sql, source, String(organisation['id']))) {
        const lines = rows.map((row) => JSON.stringify(recordOf(set, row)));
        await write(`${count === 0 ? '' : ','}\n${lines.join(',\n')}`);
        count += rows.length;
        progress(`${String(organisation['name'])}: ${count} ${set.name}`);
      }
      tally[set.name] = (tally[set.name] ?? 0) + count;
      await write(']');
    }
    await write('}');
  }
  await write('\n]}\n');
  return tally;
}

/** An object as JSON without its closing bracket, so that more can follow. */
function opened(value: unknown): string {
  return JSON.stringify(value).slice(0, -1);
}

/** A row as people and other programs read it: JSON unfolded, yes and no as such, no tokens. */
export function recordOf(
  { json = [], flags = [] }: Pick<RecordSet, 'json' | 'flags'>,
  row: Row,
): Record<string, unknown> {
  const record: Record<string, unknown> = {};
  for (const [column, value] of Object.entries(row)) {
    if (json.includes(column)) record[column] = JSON.parse(String(value));
    else if (flags.includes(column)) record[column] = value === null ? null : Boolean(value);
    else record[column] = typeof value === 'string' ? withoutTokens(value) : value;
  }
  return record;
}
