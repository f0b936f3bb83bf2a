import { carsInOrder } from '../../store/cars/car-rows.ts';
import type { CarRecord } from '../own/car-records.ts';
import { carRecordOf, ownCar } from '../own/car-records.ts';
import { searchCars } from '../own/car-search.ts';
import type { Caller, Context } from '../context/context.ts';
import type { Page, PageRequest } from '../context/paging.ts';
import { pageOf, partsOfCursor } from '../context/paging.ts';

/** One car of the caller's organisation. */
export async function showCar(context: Context, caller: Caller, id: string): Promise<CarRecord> {
  return carRecordOf(await ownCar(context.store.records, caller, id));
}

export interface CarsAsked extends PageRequest {
  readonly ownerId?: string | undefined;
  /** Part of a registration or of the owner's name. */
  readonly search?: string | undefined;
}

/** The cars of the caller's organisation, of one owner, or found, in the order they were added. */
export async function listCars(
  context: Context,
  caller: Caller,
  { limit, after, ownerId, search }: CarsAsked,
): Promise<Page<CarRecord>> {
  const { organisationId } = caller;
  const [from = ''] = partsOfCursor(after, ['id']) ?? [''];
  const { records, sql } = context.store;
  const found =
    search === undefined
      ? null
      : await searchCars(sql, organisationId, { search, after: from, ownerId }, limit + 1);
  const which = found === null ? { after: from } : { ids: found.map(({ id }) => id) };
  const rows = await carsInOrder(records, organisationId, which, { ownerId, most: limit + 1 });
  return pageOf(rows, limit, carRecordOf, (row) => [row.id]);
}
