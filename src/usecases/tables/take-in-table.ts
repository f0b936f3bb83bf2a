import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { Refused } from '../../domain/refusal.ts';
import type { Sql } from '../../store/database/sql.ts';
import { changeCar } from '../cars/change-car.ts';
import type { Caller, Context } from '../context/context.ts';
import { othersFirst } from '../context/turns.ts';
import { heldFiguresOf, organisationFigures } from '../figures/shop-rules.ts';
import { changeOwner } from '../owners/change-owner.ts';
import type { Progress } from '../records/export-records.ts';
import { insertSets } from '../records/insert-records.ts';
import { ownTop } from '../own/top-records.ts';
import { TABLE_TOLD } from '../own/visit-notes.ts';
import { fitTop } from '../tops/fit-top.ts';
import { recordBareOiling } from '../visits/bare-oiling.ts';
import type { Difference } from './compare-line.ts';
import type { ImportPlan, KnownLine, Shop } from './plan-import.ts';
import { recordsOf, topsOf } from './table-records.ts';

/** How many records a table made and changed. */
export interface TableTally {
  readonly owners: number;
  readonly cars: number;
  readonly tops: number;
  readonly oilings: number;
  readonly changed: number;
}

/** A record that a table changed, with what stood before and the version that it left. */
export interface Changed {
  readonly kind: 'owner' | 'car';
  readonly id: string;
  readonly version: number;
  readonly before: Readonly<Record<string, string | number | null>>;
}

/** An oiling that a table brought. */
export interface BroughtOiling {
  readonly visitId: string;
  readonly topId: string;
  readonly carId: string;
}

/** What a table made and changed, so that it can be taken back. */
export interface Made {
  readonly owners: readonly string[];
  readonly cars: readonly string[];
  readonly tops: readonly string[];
  /** Tops of cars that were on record before. */
  readonly topsOfOthers: readonly string[];
  /** Of all its cars; absent of what was taken in before tables named oilings. */
  readonly oilings?: readonly BroughtOiling[];
  readonly changed: readonly Changed[];
}

/**
 * Does what a plan says, inside joined work: new owners, cars and tops, and what lines say of those
 * that are on record.
 */
export async function takeIn(
  context: Context,
  caller: Caller,
  shop: Shop,
  plan: ImportPlan,
  progress: Progress,
): Promise<{ tally: TableTally; made: Made }> {
  const at = context.now();
  const fresh = await context.store.writeSql((sql) => insertFresh(sql, shop, plan, at, progress));
  const changed: Changed[] = [];
  const topsOfOthers: string[] = [];
  const oilings = [...fresh.oilings];
  for (const [nth, known] of plan.changed.entries()) {
    changed.push(...(await changeKnown(context, caller, known)));
    const fitted = known.bringsTop ? await fitKnown(context, caller, known) : known.there.topId;
    if (known.bringsTop && fitted !== null) topsOfOthers.push(fitted);
    if (known.oiling !== null && fitted !== null) {
      oilings.push(await oilKnown(context, caller, known.oiling.becomes, fitted));
    }
    progress(`${nth + 1} of ${plan.changed.length} changed`);
    await othersFirst();
  }
  const tally = {
    owners: fresh.owners.length,
    cars: fresh.cars.length,
    tops: fresh.tops.length + topsOfOthers.length,
    oilings: oilings.length,
    changed: plan.changed.length,
  };
  return { tally, made: { ...fresh, topsOfOthers, oilings, changed } };
}

/** How many records a plan would make and change. */
export function tallyOf(plan: ImportPlan): TableTally {
  const addresses = new Set(plan.fresh.map(({ car }) => car.email.toLowerCase()));
  const known = new Set([...plan.owners.values()].map(({ email }) => email.toLowerCase()));
  return {
    owners: [...addresses].filter((address) => !known.has(address)).length,
    cars: plan.fresh.length,
    tops:
      plan.fresh.filter(({ car }) => car.fittedOn !== undefined).length +
      plan.changed.filter(({ bringsTop }) => bringsTop).length,
    oilings:
      plan.fresh.filter(({ car }) => car.lubricatedOn !== undefined).length +
      plan.changed.filter(({ oiling }) => oiling !== null).length,
    changed: plan.changed.length,
  };
}

async function insertFresh(
  sql: Sql,
  shop: Shop,
  plan: ImportPlan,
  at: Instant,
  progress: Progress,
): Promise<Pick<Made, 'owners' | 'cars' | 'tops'> & Required<Pick<Made, 'oilings'>>> {
  if (plan.fresh.length === 0) return { owners: [], cars: [], tops: [], oilings: [] };
  const { foldedLimitDays } = await organisationFigures(sql, shop.id, 'folding');
  const { owners, cars } = recordsOf(plan.fresh, plan.owners, shop, foldedLimitDays, at);
  await othersFirst();
  const people = new Map([
    ['owners', owners],
    ['cars', cars.map(({ record }) => record)],
  ]);
  await insertSets(sql, shop.id, people, at, progress);
  // The cars are locked before the organisation everywhere.
  const own = await heldFiguresOf(sql, shop.id, cars[0]?.record.id ?? '');
  await othersFirst();
  const tops = topsOf(cars, shop.patterns, own, at);
  await othersFirst();
  await insertSets(sql, shop.id, tops, at, progress);
  const idsOf = (records: readonly { readonly [name: string]: unknown }[]) =>
    records.map(({ id }) => String(id));
  return {
    owners: idsOf(owners),
    cars: cars.map(({ record }) => record.id),
    tops: idsOf(tops.get('tops') ?? []),
    oilings: (tops.get('visits') ?? []).map(({ id, topId, carId }) => ({
      visitId: String(id),
      topId: String(topId),
      carId: String(carId),
    })),
  };
}

async function changeKnown(
  context: Context,
  caller: Caller,
  { owner, car, there }: KnownLine,
): Promise<Changed[]> {
  const changed: Changed[] = [];
  if (owner.length > 0) {
    const { version } = await changeOwner(context, caller, there.ownerId, saidOf(owner), '*');
    changed.push({ kind: 'owner', id: there.ownerId, version, before: beforeOf(owner) });
  }
  if (car.length > 0) {
    const { version } = await changeCar(context, caller, there.id, carChange(saidOf(car)), '*');
    changed.push({ kind: 'car', id: there.id, version, before: beforeOf(car) });
  }
  return changed;
}

const saidOf = (differences: readonly Difference[]) =>
  Object.fromEntries(differences.map(({ field, becomes }) => [field, becomes]));
const beforeOf = (differences: readonly Difference[]) =>
  Object.fromEntries(differences.map(({ field, was }) => [field, was]));

/** Fields of a line as a change of a car has them, in handbook and keeping. */
export function carChange(fields: Readonly<Record<string, string | number | null>>) {
  const { foldedLimitDays, foldFloorCelsius, place, salt, use, foldsPerYear, ...words } = fields;
  return {
    ...words,
    handbook: { foldedLimitDays, foldFloorCelsius },
    keeping: { place, salt, use, foldsPerYear },
  } as Parameters<typeof changeCar>[3];
}

async function fitKnown(
  context: Context,
  caller: Caller,
  { line, there }: KnownLine,
): Promise<string> {
  const { fittedOn, framePattern, material, window, powered: said, ...rest } = line.car;
  if (
    fittedOn === undefined ||
    framePattern === undefined ||
    material === undefined ||
    window === undefined
  ) {
    throw new Refused({ kind: 'conflict', detail: `Row ${line.row} does not say all of its top.` });
  }
  const { coverName, coverColour, makersReference, windowMade } = rest;
  const words = { coverName, coverColour, makersReference, windowMade };
  const powered = said === undefined ? undefined : said === 'yes';
  const cover = { material };
  const top = { carId: there.id, fittedOn, framePattern, cover, window, powered, ...words };
  return (await fitTop(context, caller, top)).id;
}

/** Records an oiling of a top that is on record. */
async function oilKnown(
  context: Context,
  caller: Caller,
  doneOn: Day,
  topId: string,
): Promise<BroughtOiling> {
  const now = context.now();
  return context.store.write(async (tx) => {
    const top = await ownTop(tx.sql, caller, topId);
    const oiling = { doneOn, notes: TABLE_TOLD };
    const visitId = await recordBareOiling(tx, caller, top, oiling, now);
    return { visitId, topId, carId: top.carId };
  });
}
