import type { CarRecord } from './car-records.ts';
import { carRecordOf, ownCar } from './car-records.ts';
import type { Caller, Deed } from './deed.ts';
import type { Page, PageRequest } from './paging.ts';
import { pageOf, partsOfCursor } from './paging.ts';

/** One car of the caller's organisation. */
export async function showCar(deed: Deed, caller: Caller, id: string): Promise<CarRecord> {
  return carRecordOf(await ownCar(deed.store.records, caller, id));
}

/** The cars of the caller's organisation, or of one owner, in the order they were added. */
export async function listCars(
  deed: Deed,
  caller: Caller,
  { limit, after, ownerId }: PageRequest & { ownerId?: string | undefined },
): Promise<Page<CarRecord>> {
  const [from] = partsOfCursor(after, 1) ?? [''];
  const rows = await deed.store.records.car.findMany({
    where: {
      organisationId: caller.organisationId,
      id: { gt: from ?? '' },
      ...(ownerId === undefined ? {} : { ownerId }),
    },
    orderBy: { id: 'asc' },
    take: limit + 1,
  });
  return pageOf(rows, limit, carRecordOf, (row) => [row.id]);
}
