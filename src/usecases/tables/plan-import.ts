import { yearOf } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { PatternPivot } from '../../domain/pivots/frame-patterns.ts';
import { plainRegistration } from '../../domain/tables/plain-registration.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { TableRow } from '../../store/records/export-rows.ts';
import { tableRowsOf } from '../../store/records/export-rows.ts';
import type { OwnerThere } from '../../store/records/import-rows.ts';
import { ownersThere } from '../../store/records/import-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { addressHashOf } from '../context/secret.ts';
import { othersFirst } from '../context/turns.ts';
import type { OrganisationRecord } from '../organisations/organisations.ts';
import { showOrganisation } from '../organisations/organisations.ts';
import { listPatterns } from '../tops/frame-patterns.ts';
import type { Compared } from './compare-line.ts';
import { compareLine } from './compare-line.ts';
import type { ImportSettings } from './import-settings.ts';
import type { ReadTable } from './read-table.ts';
import { crossFaults, OILED_WITHOUT_TOP } from './table-checks.ts';
import type { RowFault } from './row-faults.ts';
import { cellFault } from './row-faults.ts';
import type { CarLine, ReadLine } from './table-rows.ts';
import { carLinesIn } from './table-rows.ts';

/** The organisation that takes a table in, and the frames that its tops can have. */
export interface Shop extends OrganisationRecord {
  readonly patterns: ReadonlyMap<string, readonly PatternPivot[]>;
}

/** A line about a car that is on record. */
export interface KnownLine extends Pick<Compared, 'owner' | 'car' | 'oiling' | 'oiledSince'> {
  readonly line: CarLine;
  readonly there: TableRow;
  /** Whether the line brings a top for a car that has none. */
  readonly bringsTop: boolean;
}

/** What a table would do, line by line. */
export interface ImportPlan {
  readonly fresh: readonly CarLine[];
  readonly changed: readonly KnownLine[];
  /** Lines that say nothing new. */
  readonly same: readonly KnownLine[];
  /** Every fault of the lines that are refused, by row. */
  readonly faults: readonly RowFault[];
  /** Lines with a fault. */
  readonly refused: number;
  readonly owners: ReadonlyMap<string, OwnerThere>;
}

/** The organisation with its frame patterns, as lines are held against it. */
export async function shopOf(context: Context, caller: Caller): Promise<Shop> {
  const patterns = await listPatterns(context, caller);
  return {
    ...(await showOrganisation(context, caller)),
    patterns: new Map(patterns.map(({ name, pivots }) => [name, pivots])),
  };
}

/**
 * What a table would do to the records as they are now. It writes nothing: the preview shows it, and
 * taking the table in does it.
 */
export async function planImport(
  sql: Sql,
  shop: Shop,
  table: Pick<ReadTable, 'header' | 'rows' | 'firstRow'>,
  settings: ImportSettings,
  at: string,
): Promise<ImportPlan> {
  const patterns = [...shop.patterns.keys()];
  const { timeZone } = shop;
  const read = carLinesIn(table, settings, {
    patterns,
    thisYear: yearOf(dayIn(timeZone, at)),
  });
  await othersFirst();
  const there = await carsThere(sql, shop.id, read.all);
  const rowOf = ({ car }: Pick<ReadLine, 'car'>) =>
    there.get(plainRegistration(car.registration ?? ''));
  const todayOf = (line: ReadLine) =>
    dayIn(rowOf(line)?.carZone ?? line.car.timeZone ?? timeZone, at);
  const cross = crossFaults(read.all, { patterns, todayOf });
  const against = read.all.flatMap((line) => {
    const row = rowOf(line);
    return row === undefined ? faultsOfFresh(line) : compareLine(line, row).faults;
  });
  await othersFirst();
  const faults = [...read.faults, ...cross, ...against];
  const refused = new Set(faults.map(({ row }) => row));
  const good = read.lines.filter(({ row }) => !refused.has(row));
  const known = good.flatMap((line) => {
    const row = rowOf(line);
    if (row === undefined) return [];
    const bringsTop = row.topId === null && line.car.fittedOn !== undefined;
    const { faults: _none, ...compared } = compareLine({ ...line, tellsOfTop: bringsTop }, row);
    return [{ line, there: row, bringsTop, ...compared }];
  });
  const isNews = (one: KnownLine) =>
    one.bringsTop || one.oiling !== null || one.owner.length + one.car.length > 0;
  const addresses = [...new Set(good.map(({ car }) => addressHashOf(car.email)))];
  const owners = await ownersThere(sql, shop.id, addresses);
  return {
    fresh: good.filter(({ car }) => !there.has(plainRegistration(car.registration))),
    changed: known.filter(isNews),
    same: known.filter((one) => !isNews(one)),
    faults: [...faults].sort((a, b) => a.row - b.row),
    refused: refused.size,
    owners: new Map(owners.map((owner) => [owner.addressHash, owner])),
  };
}

/** The lines of a plan that name an earlier oiling than the last on record, which stands. */
export function oiledSince({ changed, same }: ImportPlan): readonly KnownLine[] {
  return [...changed, ...same].filter((one) => one.oiledSince !== null);
}

function faultsOfFresh({ row, car, tellsOfTop }: ReadLine): RowFault[] {
  if (car.lubricatedOn === undefined || tellsOfTop) return [];
  return [cellFault(row, 'lubricatedOn', OILED_WITHOUT_TOP)];
}

/** The cars on record that the lines speak of, by their plain registration. */
async function carsThere(
  sql: Sql,
  organisationId: string,
  lines: readonly ReadLine[],
): Promise<Map<string, TableRow>> {
  const asked = new Set(lines.map(({ car }) => plainRegistration(car.registration ?? '')));
  asked.delete('');
  const found = new Map<string, TableRow>();
  for await (const rows of tableRowsOf(sql, organisationId)) {
    for (const row of rows) {
      const plain = plainRegistration(row.registration);
      if (asked.has(plain)) found.set(plain, row);
    }
  }
  return found;
}
