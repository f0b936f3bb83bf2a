import { Refused } from '../../domain/refusal.ts';
import { holdCars } from '../../store/database/car-lock.ts';
import { flag } from '../../store/database/sql.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { Against } from '../../store/records/import-references.ts';
import { markUndone, storeMade } from '../../store/records/import-run-rows.ts';
import type { Touched } from '../../store/records/import-undo-rows.ts';
import {
  carsStillThere,
  ownersWithoutCar,
  removeMade,
  standingAgainst,
  touchedSince,
  visitsAsBrought,
} from '../../store/records/import-undo-rows.ts';
import { topIdsOfCars } from '../../store/tops/top-rows.ts';
import { changeCar } from '../cars/change-car.ts';
import { showCar } from '../cars/read-cars.ts';
import { actingAs } from '../context/acting.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { changeOwner } from '../owners/change-owner.ts';
import { showOwner } from '../owners/read-owners.ts';
import { removeBareOiling } from '../visits/bare-oiling.ts';
import { heldRun } from './import-runs.ts';
import type { BroughtOiling, Changed, Made } from './take-in-table.ts';
import { carChange } from './take-in-table.ts';

/** A car that a table brought, and what keeps it from being taken back. */
export interface BroughtCar {
  readonly carId: string;
  readonly registration: string;
  /** What stands in the way, in words; nothing where it can go. */
  readonly keeps: readonly string[];
}

/** How far what a table brought can be taken back now. */
export interface TakingBack {
  /** What stands against taking all of it back, in words; nothing where it can be. */
  readonly against: readonly string[];
  /** The cars that it brought and that are there still. */
  readonly cars: readonly BroughtCar[];
  /** Cars that were taken back or removed since. */
  readonly gone: number;
}

/** What of a run can be taken back; null where what it brought is not known any more. */
export async function readTakingBack(
  context: Context,
  caller: Caller,
  id: string,
): Promise<TakingBack | null> {
  requireRight(caller, 'manage-organisation');
  const row = await heldRun(context, caller, id);
  if (row.state !== 'done' || row.made === null) return null;
  const made = JSON.parse(row.made) as Made;
  const { sql } = context.store;
  const { cars: brought = 0 } = JSON.parse(row.tally ?? '{}') as { cars?: number };
  const cars = await broughtCars(sql, made);
  return {
    against: await againstWhole(context, caller, sql, made),
    cars,
    gone: brought - cars.length,
  };
}

/**
 * Takes back what a table brought: what it made goes, what it changed stands as before. Refused, with
 * what stands against it, where anybody did anything with these records since.
 */
export async function undoRun(context: Context, caller: Caller, id: string): Promise<void> {
  requireRight(caller, 'manage-organisation');
  const made = await madeBy(context, caller, id);
  const { store } = context;
  await actingAs(context, caller, () =>
    store.together(async () => {
      const against = await store.writeSql((sql) => againstWhole(context, caller, sql, made));
      if (against.length > 0) {
        throw refused(`It cannot be taken back any more: ${against.join('; ')}.`);
      }
      if (!(await store.writeSql((sql) => markUndone(sql, id, context.now())))) {
        throw refused('This table was taken back already.');
      }
      for (const oiling of oilingsOfOthers(made)) {
        await removeBareOiling(context, caller, oiling);
      }
      for (const changed of made.changed.toReversed()) await putBack(context, caller, changed);
      await store.writeSql((sql) => removeMade(sql, made));
    }),
  );
}

/**
 * Takes back those cars of a table on which nothing hangs, and the owners that it brought along and who
 * have nothing else here. Gives back how many cars went.
 */
export async function undoFreeCars(context: Context, caller: Caller, id: string): Promise<number> {
  requireRight(caller, 'manage-organisation');
  const made = await madeBy(context, caller, id);
  return actingAs(context, caller, () =>
    context.store.writeSql(async (sql) => {
      await holdCars(sql, made.cars);
      const brought = await broughtCars(sql, made);
      const free = brought.filter(({ keeps }) => keeps.length === 0).map(({ carId }) => carId);
      if (free.length === 0) throw refused('Something hangs on each of its cars by now.');
      const tops = await topIdsOfCars(sql, free);
      await removeMade(sql, { owners: [], cars: free, tops });
      const alone = await ownersWithoutCar(sql, made.owners);
      const held = await standingAgainst(sql, alone, 'owners');
      const owners = alone.filter((owner) => !held.has(owner));
      await removeMade(sql, { owners, cars: [], tops: [] });
      const left = (ids: readonly string[], gone: readonly string[]) => {
        const went = new Set(gone);
        return ids.filter((one) => !went.has(one));
      };
      const rest: Made = {
        ...made,
        owners: left(made.owners, owners),
        cars: left(made.cars, free),
        tops: left(made.tops, tops),
        oilings: (made.oilings ?? []).filter(({ carId }) => !free.includes(carId)),
      };
      if (!(await storeMade(sql, id, JSON.stringify(rest)))) throw refused(UNKNOWN);
      return free.length;
    }),
  );
}

const UNKNOWN = 'What this table brought is not known any more.';

async function madeBy(context: Context, caller: Caller, id: string): Promise<Made> {
  const row = await heldRun(context, caller, id);
  if (row.made === null) throw refused(UNKNOWN);
  return JSON.parse(row.made) as Made;
}

/** The oilings that it brought to tops that were here before. */
function oilingsOfOthers({ cars, oilings = [] }: Made): BroughtOiling[] {
  const brought = new Set(cars);
  return oilings.filter(({ carId }) => !brought.has(carId));
}

/** The oilings of its own cars that stand as it brought them: they go with the cars. */
async function ownOilings(sql: Sql, { cars, oilings = [] }: Made): Promise<ReadonlySet<string>> {
  const brought = new Set(cars);
  const own = oilings.filter(({ carId }) => brought.has(carId));
  return visitsAsBrought(
    sql,
    own.map(({ visitId }) => visitId),
  );
}

async function broughtCars(sql: Sql, made: Made): Promise<BroughtCar[]> {
  const there = await carsStillThere(sql, made.cars);
  const ids = there.map(({ id }) => id);
  const standing = await standingAgainst(sql, ids, 'cars', await ownOilings(sql, made));
  return there.map(({ id, registration, ownerSince, changed }) => ({
    carId: id,
    registration,
    keeps: [
      ...(ownerSince === null ? [] : [SOLD]),
      ...(standing.get(id) ?? []).map((against) => WORDS[against]),
      ...(flag(changed) ? [CHANGED] : []),
    ],
  }));
}

async function againstWhole(
  context: Context,
  caller: Caller,
  sql: Sql,
  made: Made,
): Promise<string[]> {
  const against = inWords(await touchedSince(sql, made, await ownOilings(sql, made)));
  if (made.topsOfOthers.length > 0) {
    against.push(`tops were put on cars that were here before (${made.topsOfOthers.length})`);
  }
  for (const { kind, id, version } of made.changed) {
    const now = await (kind === 'car' ? showCar : showOwner)(context, caller, id).catch(() => null);
    if (now?.version !== version) against.push('what it changed was changed again');
  }
  const ofOthers = oilingsOfOthers(made).map(({ visitId }) => visitId);
  const asBrought = await visitsAsBrought(sql, ofOthers);
  if (asBrought.size < ofOthers.length) against.push('what it changed was changed again');
  return [...new Set(against)];
}

function inWords({ changed, added, worked }: Touched): string[] {
  const counts: readonly (readonly [number, string])[] = [
    [changed, CHANGED],
    ...[...worked].map(([against, count]) => [count, WORDS[against]] as const),
    [added, 'cars or tops were added'],
  ];
  return counts.filter(([count]) => count > 0).map(([count, words]) => `${words} (${count})`);
}

const CHANGED = 'records were changed since';
const SOLD = 'it changed hands';
const WORDS: Readonly<Record<Against, string>> = {
  visits: 'visits were recorded or booked',
  entries: 'entries were made in the log',
  calls: 'calls were noted',
  offers: 'weeks were offered',
  letters: 'letters have left',
  consents: 'owners said what may be written to them',
  'care-days': 'cars were asked to a care day',
  orders: 'parts were ordered with a care day',
  sharing: 'owners chose what others see',
  estimates: 'estimates were made',
  photos: 'photos were kept',
};

async function putBack(
  context: Context,
  caller: Caller,
  { kind, id, version, before }: Changed,
): Promise<void> {
  if (kind === 'car') await changeCar(context, caller, id, carChange(before), version);
  else {
    const change = before as Parameters<typeof changeOwner>[3];
    await changeOwner(context, caller, id, change, version);
  }
}

function refused(detail: string): Refused {
  return new Refused({ kind: 'conflict', detail });
}
