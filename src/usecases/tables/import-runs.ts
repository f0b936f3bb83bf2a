import type { Instant } from '../../domain/calendar/instant.ts';
import { notFound, Refused } from '../../domain/refusal.ts';
import { headerName } from '../../domain/tables/guess-columns.ts';
import type { TableField } from '../../domain/tables/table-fields.ts';
import type { ImportRunRow } from '../../store/records/import-run-rows.ts';
import {
  insertRun,
  meaningOf,
  newestRuns,
  rememberMeaning,
  runOf,
  storeSettings,
} from '../../store/records/import-run-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { hashOf } from '../context/secret.ts';
import type { ReadAs, ReadingWish } from './grid.ts';
import { isDocument } from './import-file.ts';
import type { ImportSettings, UnknownWord } from './import-settings.ts';
import {
  guessSettings,
  isOrderAnswered,
  orderOfDays,
  settingsFrom,
  settingsOf,
  unknownWordsIn,
} from './import-settings.ts';
import { lacksColumns, mayBeOiling, unusedColumns } from './import-table.ts';
import type { ImportPlan } from './plan-import.ts';
import { planImport, shopOf } from './plan-import.ts';
import type { ReadTable } from './read-table.ts';
import { readTable } from './read-table.ts';
import type { OilSoon } from './oil-soon.ts';
import { oilSoon } from './oil-soon.ts';
import type { RowFault } from './row-faults.ts';
import { knownChoices, TOP_CELL_EMPTY } from './table-rows.ts';
import type { TableTally } from './take-in-table.ts';
import { tallyOf } from './take-in-table.ts';

/** A table that was handed in and waits. */
export interface OpenRun {
  readonly state: 'open';
  readonly id: string;
  readonly fileName: string;
  readonly readAs: ReadAs;
  readonly header: readonly string[];
  /** The first lines, to see what stands where. */
  readonly samples: readonly (readonly string[])[];
  readonly lines: number;
  readonly settings: ImportSettings;
  readonly patterns: readonly string[];
  readonly sureOfDays: boolean;
  /** What no column was found for and every line needs. */
  readonly lacking: readonly TableField[];
  /** Own words of the table for something on a closed list. */
  readonly unknownWords: readonly UnknownWord[];
  readonly unused: readonly string[];
  /** Those of them that may say when the pivots were oiled last. */
  readonly mayBeOiling: readonly string[];
  /** Every fault of its lines, those of columns that are lacking or not told and of days in doubt left out. */
  readonly faults: readonly RowFault[];
  /** What of their tops no column tells, and of how many lines it is asked. */
  readonly untold: { readonly fields: readonly TableField[]; readonly lines: number };
  /** Lines with a day that can be read in two ways, and the cell of the first. */
  readonly doubtful: { readonly lines: number; readonly such: string };
  /** What it would do now; null while columns are lacking. */
  readonly plan: ImportPlan | null;
  readonly tally: TableTally | null;
  /** Owners whose oil follows from it at once, and when oil is due under the tops that it names an oiling of. */
  readonly oil: OilSoon;
}

/** A table that was taken in, and perhaps taken back. */
export interface EndedRun {
  readonly state: 'done' | 'undone';
  readonly id: string;
  readonly fileName: string;
  readonly tally: TableTally | null;
  readonly doneAt: Instant | null;
  readonly undoneAt: Instant | null;
  /** Whether what it made is still known, so that it can be taken back. */
  readonly canUndo: boolean;
}

/** Reads a table that somebody hands in, and keeps it to be looked at. Nothing is taken in yet. */
export async function handIn(
  context: Context,
  caller: Caller,
  file: { readonly name: string; readonly bytes: Buffer },
  wish: ReadingWish,
): Promise<string> {
  requireRight(caller, 'manage-organisation');
  if (isDocument(file.bytes)) {
    const detail =
      'This is the complete document of an organisation. It is taken in at the machine: foldkeep import FILE.';
    throw new Refused({ kind: 'conflict', detail });
  }
  const table = await readTable(file.bytes, wish);
  const shop = await shopOf(context, caller);
  const kept = await meaningOf(context.store.sql, shop.id, hashOf(headerName(table.header)));
  const settings = settingsOf(table, shop.language, kept);
  const { sure } = orderOfDays(table.rows, shop.language);
  const at = context.now();
  const row: ImportRunRow = {
    id: newId(),
    organisationId: caller.organisationId,
    startedBy: caller.author.id,
    fileName: file.name.slice(-120) || 'table',
    createdAt: at,
    readAs: JSON.stringify({ ...table.readAs, firstRow: table.firstRow, sure }),
    header: JSON.stringify(table.header),
    lines: JSON.stringify(table.rows),
    settings: JSON.stringify(settings),
    state: 'open',
    tally: null,
    made: null,
    doneAt: null,
    undoneAt: null,
  };
  await context.store.writeSql((sql) => insertRun(sql, row));
  return row.id;
}

/** The newest tables that were taken in. */
export async function listRuns(context: Context, caller: Caller) {
  requireRight(caller, 'manage-organisation');
  return newestRuns(context.store.sql, caller.organisationId, RUNS_SHOWN);
}

const RUNS_SHOWN = 10;
const SAMPLES = 3;

/** A table that was handed in: what it would do to the records as they are now, or what it did. */
export async function showRun(
  context: Context,
  caller: Caller,
  id: string,
): Promise<OpenRun | EndedRun> {
  requireRight(caller, 'manage-organisation');
  const row = await heldRun(context, caller, id);
  if (row.state !== 'open' || row.lines === null) return endedOf(row);
  const { table, settings, readAs } = opened(row);
  const shop = await shopOf(context, caller);
  const lacking = lacksColumns(settings);
  const patterns = [...shop.patterns.keys()];
  const whole = await planImport(context.store.sql, shop, table, settings, context.now());
  const plan = lacking.length > 0 ? null : whole;
  const isUntold = ({ field, detail }: RowFault) =>
    detail === TOP_CELL_EMPTY && field !== undefined && settings.columns[field] === undefined;
  const untold = whole.faults.filter(isUntold);
  const doubtful = whole.faults.filter((fault) => fault.doubtful !== undefined);
  return {
    state: 'open',
    id: row.id,
    fileName: row.fileName,
    readAs,
    header: table.header,
    samples: table.rows.slice(0, SAMPLES),
    lines: table.rows.filter((cells) => cells.some((cell) => cell !== '')).length,
    settings,
    patterns,
    sureOfDays: readAs.sure,
    lacking,
    unknownWords: unknownWordsIn(table.rows, settings, knownChoices(patterns)),
    unused: unusedColumns(table, settings),
    mayBeOiling: mayBeOiling(table, settings),
    faults: whole.faults.filter(
      (fault) =>
        !isUntold(fault) &&
        fault.doubtful === undefined &&
        (fault.field === undefined || !lacking.includes(fault.field)),
    ),
    doubtful: {
      lines: new Set(doubtful.map(({ row: line }) => line)).size,
      such: doubtful[0]?.doubtful ?? '',
    },
    untold: {
      fields: [...new Set(untold.flatMap(({ field }) => field ?? []))],
      lines: new Set(untold.map(({ row: line }) => line)).size,
    },
    plan,
    tally: plan === null ? null : tallyOf(plan),
    oil:
      plan === null
        ? { letters: 0, calls: 0, dueOn: new Map() }
        : await oilSoon(context, shop, plan),
  };
}

/** The run of an id; refused where the organisation has none. */
export async function heldRun(context: Context, caller: Caller, id: string): Promise<ImportRunRow> {
  const row = await runOf(context.store.sql, caller.organisationId, id);
  if (row === null) throw notFound('table');
  return row;
}

/** The table of a run that waits, as it was read. */
export function opened(row: ImportRunRow): {
  readonly table: Pick<ReadTable, 'header' | 'rows' | 'firstRow'>;
  readonly settings: ImportSettings;
  readonly readAs: ReadAs & { readonly sure: boolean };
} {
  const { firstRow, ...readAs } = JSON.parse(row.readAs) as ReadAs & {
    firstRow: number;
    sure: boolean;
  };
  const header = JSON.parse(row.header) as string[];
  const rows = JSON.parse(row.lines ?? '[]') as string[][];
  const table = { header, rows, firstRow };
  const settings = settingsFrom(row.settings) ?? guessSettings(table, 'en');
  return { table, settings, readAs };
}

function endedOf(row: ImportRunRow): EndedRun {
  return {
    state: row.state === 'undone' ? 'undone' : 'done',
    id: row.id,
    fileName: row.fileName,
    tally: row.tally === null ? null : (JSON.parse(row.tally) as TableTally),
    doneAt: row.doneAt,
    undoneAt: row.undoneAt,
    canUndo: row.state === 'done' && row.made !== null,
  };
}

/** Says what the columns of a table mean; remembered for the next with the same columns. */
export async function nameColumns(
  context: Context,
  caller: Caller,
  id: string,
  settings: ImportSettings,
): Promise<void> {
  requireRight(caller, 'manage-organisation');
  const row = await heldRun(context, caller, id);
  const { table } = opened(row);
  const text = JSON.stringify(settings);
  const meaning = {
    organisationId: caller.organisationId,
    headerHash: hashOf(headerName(table.header)),
    settings: JSON.stringify({ ...settings, daysSaid: isOrderAnswered(table.rows, settings) }),
    changedAt: context.now(),
  };
  const kept = await context.store.writeSql(async (sql) => {
    if (!(await storeSettings(sql, row.id, text))) return false;
    await rememberMeaning(sql, meaning);
    return true;
  });
  if (!kept) throw takenInAlready();
}

export function takenInAlready(): Refused {
  const detail = 'This table was taken in already.';
  return new Refused({ kind: 'conflict', detail });
}
