import { organisationNamed } from '../../store/organisations/organisation-rows.ts';
import { meaningOf } from '../../store/records/import-run-rows.ts';
import type { TableField } from '../../domain/tables/table-fields.ts';
import { FIELD_MEANINGS } from '../../domain/tables/table-fields.ts';
import type { DayOrder } from '../../domain/tables/cell-values.ts';
import { isDayWritten } from '../../domain/tables/cell-values.ts';
import { headerName } from '../../domain/tables/guess-columns.ts';
import { invalid, Refused } from '../../domain/refusal.ts';
import { actingAs } from '../context/acting.ts';
import type { Context } from '../context/context.ts';
import { programCaller } from '../context/context.ts';
import { hashOf } from '../context/secret.ts';
import type { Imported, ImportOptions } from '../records/import-records.ts';
import type { ImportSettings } from './import-settings.ts';
import { ROWS_LOOKED_AT, settingsOf } from './import-settings.ts';
import { oiledSince, planImport, shopOf } from './plan-import.ts';
import type { ReadingWish } from './grid.ts';
import type { ReadTable } from './read-table.ts';
import { readTable } from './read-table.ts';
import { takeIn, tallyOf } from './take-in-table.ts';

export interface TableOptions extends ImportOptions {
  readonly organisation: string | null;
  readonly reading?: ReadingWish;
  /** In which order its days are written, where somebody says it. */
  readonly days?: DayOrder | undefined;
  /** Take in the lines without fault and leave the others; else all or nothing. */
  readonly goodLinesOnly?: boolean;
}

/**
 * Takes in a table of cars for one organisation: owners, cars and fitted tops, under the rules of
 * HTTP. What its columns mean was said before on a page, or is guessed by their names. All or nothing,
 * refused with every fault by its row and column, unless the good lines alone are asked for. Lines with
 * one address are one owner, who may be on record already.
 */
export async function importTable(
  context: Context,
  bytes: Buffer,
  {
    organisation,
    dryRun,
    reading = {},
    days,
    goodLinesOnly = false,
    progress = () => undefined,
  }: TableOptions,
): Promise<Imported> {
  const caller = programCaller(await idOf(context, organisation), 'import');
  const table = await readTable(bytes, reading);
  const shop = await shopOf(context, caller);
  const meant = await settingsFor(context, shop, table);
  const settings = days === undefined ? meant : { ...meant, dayOrder: days, daysSaid: true };
  requireColumns(table, settings);
  const work = async () => {
    const plan = await planImport(context.store.sql, shop, table, settings, context.now());
    if (plan.faults.length > 0 && !goodLinesOnly) {
      throw new Refused({ kind: 'invalid', faults: plan.faults });
    }
    const { faults, refused, same } = plan;
    const about = {
      unused: unusedColumns(table, settings),
      mayBeOiling: mayBeOiling(table, settings),
      faults,
      refused,
      same: same.length,
      oiledSince: oiledSince(plan).length,
    };
    if (dryRun) return { tally: tallyOf(plan), about };
    const { tally } = await takeIn(context, caller, shop, plan, progress);
    return { tally, about };
  };
  const { tally, about } = dryRun
    ? await work()
    : await actingAs(context, caller, () => context.store.together(work));
  return { what: 'table', tally: { ...tally }, lettersHeldBack: 0, table: about };
}

async function idOf({ store }: Context, name: string | null): Promise<string> {
  const detail =
    name === null
      ? 'Say whose cars these are: --organisation NAME.'
      : `There is no organisation "${name}". Make it with: foldkeep key --organisation "${name}"`;
  const row = name === null ? null : await organisationNamed(store.sql, name);
  if (row === null) throw new Refused({ kind: 'conflict', detail });
  return row.id;
}

/** What the columns of a table mean: as it was said of the same columns before, else as it is guessed. */
async function settingsFor(
  { store }: Context,
  shop: { readonly id: string; readonly language: string },
  table: ReadTable,
): Promise<ImportSettings> {
  const kept = await meaningOf(store.sql, shop.id, hashOf(headerName(table.header)));
  return settingsOf(table, shop.language, kept);
}

/** The fields that a table must have and that no column was found for. */
export function lacksColumns({ columns }: ImportSettings): readonly TableField[] {
  const named = columns.surname ?? columns.firstName ?? columns.name;
  return (['registration', 'name', 'email'] as const).filter(
    (field) => (field === 'name' ? named : columns[field]) === undefined,
  );
}

function requireColumns({ header }: ReadTable, settings: ImportSettings): void {
  const lacking = lacksColumns(settings);
  if (lacking.length === 0) return;
  const missing = lacking.map((field) => `"${FIELD_MEANINGS[field].title}"`).join(', ');
  const detail = `No column was found for ${missing}. The columns are: ${header.join(', ')}.`;
  throw invalid('row 1', detail);
}

/** The names of columns that nothing is taken from. */
export function unusedColumns(
  { header }: Pick<ReadTable, 'header'>,
  { columns }: ImportSettings,
): string[] {
  const used = new Set(Object.values(columns));
  return header.filter((name, place) => name !== '' && !used.has(place));
}

/**
 * The names of columns of days that nothing is taken from, where none is taken for the last oiling: one of
 * them may be it under a name that may mean another service, too.
 */
export function mayBeOiling(
  { header, rows }: Pick<ReadTable, 'header' | 'rows'>,
  { columns }: ImportSettings,
): string[] {
  if (columns.lubricatedOn !== undefined) return [];
  const used = new Set(Object.values(columns));
  return header.filter((name, place) => {
    if (name === '' || used.has(place)) return false;
    const cells = rows.slice(0, ROWS_LOOKED_AT).map((row) => row[place] ?? '');
    const filled = cells.filter((cell) => cell.trim() !== '');
    return filled.filter(isDayWritten).length * 2 > filled.length;
  });
}
