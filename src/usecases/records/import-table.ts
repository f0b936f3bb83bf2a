import { organisationNamed } from '../../store/organisations/organisation-rows.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { PatternPivot } from '../../domain/pivots/frame-patterns.ts';
import type { Fault } from '../../domain/refusal.ts';
import { Refused } from '../../domain/refusal.ts';
import { ownersThere, registrationsThere } from '../../store/records/import-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { actingAs } from '../context/acting.ts';
import type { Caller, Context } from '../context/context.ts';
import { programCaller } from '../context/context.ts';
import { listPatterns } from '../tops/frame-patterns.ts';
import type { Imported, ImportOptions } from './import-records.ts';
import { insertSets } from './insert-records.ts';
import type { OrganisationRecord } from '../organisations/organisations.ts';
import { showOrganisation } from '../organisations/organisations.ts';
import { addressHashOf } from '../context/secret.ts';
import { heldFiguresOf, organisationFigures } from '../figures/shop-rules.ts';
import { crossFaults } from './table-checks.ts';
import { recordsOf, topsOf } from './table-records.ts';
import type { CarLine } from './table-rows.ts';
import { carLinesIn } from './table-rows.ts';

/** The organisation of a table, and the frames that its tops can have. */
interface Shop extends OrganisationRecord {
  readonly patterns: ReadonlyMap<string, readonly PatternPivot[]>;
}

/**
 * Takes in a table of cars for one organisation: owners, cars and fitted tops, under the rules of
 * HTTP, all or nothing, refused with every fault by its row and column. Rows with one address are
 * one owner, who may be on record already and is then left as is.
 */
export async function importTable(
  context: Context,
  text: string,
  {
    organisation,
    dryRun,
    progress = () => undefined,
  }: ImportOptions & { readonly organisation: string | null },
): Promise<Imported> {
  const shop = await shopNamed(context, organisation);
  const { lines, faults } = carLinesIn(text);
  const at = context.now();
  const work = async (sql: Sql): Promise<Imported> => {
    const records = await recordsFor(sql, shop, lines, faults, at);
    const tops = lines.filter(({ car }) => car.fittedOn !== undefined).length;
    const tally = { owners: records.owners.length, cars: records.cars.length, tops };
    if (!dryRun && lines.length > 0) {
      const { owners, cars } = records;
      const people = new Map([
        ['owners', owners],
        ['cars', cars.map(({ record }) => record)],
      ]);
      await insertSets(sql, shop.id, people, at, progress);
      // The cars are locked before the organisation everywhere.
      const own = await heldFiguresOf(sql, shop.id, cars[0]?.record.id ?? '');
      await insertSets(sql, shop.id, topsOf(cars, shop.patterns, own, at), at, progress);
    }
    return { what: 'table', tally, lettersHeldBack: 0 };
  };
  return dryRun
    ? work(context.store.sql)
    : actingAs(context, programCaller(shop.id, 'import'), () => context.store.writeSql(work));
}

async function shopNamed(context: Context, name: string | null): Promise<Shop> {
  if (name === null) throw refused('Say whose cars these are: --organisation NAME.');
  const row = await organisationNamed(context.store.sql, name);
  if (row === null) {
    throw refused(
      `There is no organisation "${name}". Make it with: foldkeep key --organisation "${name}"`,
    );
  }
  const caller: Caller = programCaller(row.id, 'import');
  const patterns = await listPatterns(context, caller);
  return {
    ...(await showOrganisation(context, caller)),
    patterns: new Map(patterns.map(({ name: pattern, pivots }) => [pattern, pivots])),
  };
}

/** The new owners and cars, once nothing speaks against any of them. */
async function recordsFor(
  sql: Sql,
  shop: Shop,
  lines: readonly CarLine[],
  faults: readonly Fault[],
  at: Instant,
) {
  const addresses = [...new Set(lines.map(({ car }) => addressHashOf(car.email)))];
  const owners = new Map(
    (await ownersThere(sql, shop.id, addresses)).map((owner) => [owner.addressHash, owner]),
  );
  const { foldedLimitDays } = await organisationFigures(sql, shop.id, 'folding');
  const records = recordsOf(lines, owners, shop, foldedLimitDays, at);
  const ground = {
    registrations: await registrationsThere(sql, shop.id),
    patterns: [...shop.patterns.keys()],
    today: (zone: string) => dayIn(zone, at),
  };
  const all = [...faults, ...crossFaults(records.cars, ground)];
  if (all.length > 0) throw new Refused({ kind: 'invalid', faults: byRow(all) });
  return records;
}

function byRow(faults: readonly Fault[]): Fault[] {
  const rowOf = ({ pointer }: Fault) => Number(/\d+/.exec(pointer)?.[0] ?? 0);
  return [...faults].sort((a, b) => rowOf(a) - rowOf(b));
}

function refused(detail: string): Refused {
  return new Refused({ kind: 'conflict', detail });
}
