import { mayMoveOf } from '../own/may-move.ts';
import { topsOnCars } from '../../store/tops/top-rows.ts';
import { searchFor } from '../../domain/search/match.ts';
import { ownersWithoutCar } from '../../store/cars/search-rows.ts';
import { searchCars } from '../own/car-search.ts';
import type { Caller, Context } from '../context/context.ts';
import type { Page, PageRequest } from '../context/paging.ts';
import { pageOf, partsOfCursor } from '../context/paging.ts';
import type { LubricationRecord } from '../own/top-records.ts';
import { lubricationRecordOf } from '../own/top-records.ts';

/** A car as a list of what was found shows it. */
export interface FoundCarRecord {
  readonly carId: string;
  readonly registration: string;
  readonly ownerName: string;
  /** The top that is on it and when its oil is due; null where none is recorded. */
  readonly top: {
    readonly id: string;
    readonly lubrication: LubricationRecord;
    /** It must not be moved before it is repaired. */
    readonly mustStay: boolean;
  } | null;
}

/** Somebody on record without a car. */
export interface FoundOwnerRecord {
  readonly id: string;
  readonly name: string;
}

// Few have no car: one that was sold, or an owner written down by mistake.
const OWNERS_LOOKED_AT = 5_000;
const OWNERS_SHOWN = 50;

/** Owners without a car who fit what was searched for: nothing else leads to them. */
export async function findOwnersWithoutCar(
  { store }: Context,
  { organisationId }: Caller,
  search: string,
): Promise<FoundOwnerRecord[]> {
  const fits = searchFor(search);
  if (fits === null) return [];
  const rows = await ownersWithoutCar(store.sql, organisationId, OWNERS_LOOKED_AT);
  return rows
    .filter((row) => fits({ ...row, registration: '', ownerName: row.name }))
    .slice(0, OWNERS_SHOWN)
    .map(({ id, name }) => ({ id, name }));
}

/** The cars that fit what was searched for, each with its top, in the order they were added. */
export async function findCars(
  context: Context,
  caller: Caller,
  { search, limit, after }: PageRequest & { readonly search: string },
): Promise<Page<FoundCarRecord>> {
  const { sql } = context.store;
  const { organisationId } = caller;
  const [from = ''] = partsOfCursor(after, ['id']) ?? [''];
  const found = await searchCars(sql, organisationId, { search, after: from }, limit + 1);
  const now = context.now();
  const rows = await topsOnCars(
    sql,
    found.map(({ id }) => id),
  );
  const moves = await mayMoveOf(sql, organisationId, rows, now);
  const tops = new Map(rows.map((row) => [row.carId, row]));
  return pageOf(
    found,
    limit,
    ({ id, registration, ownerName }) => {
      const row = tops.get(id);
      const top = row && {
        id: row.id,
        lubrication: lubricationRecordOf(row, now),
        mustStay: moves.get(id)?.verdict === 'leave',
      };
      return { carId: id, registration, ownerName, top: top ?? null };
    },
    ({ id }) => [id],
  );
}
