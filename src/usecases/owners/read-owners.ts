import { isCarOwnerErased, ownersAfter } from '../../store/owners/owner-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { ownCar } from '../own/car-records.ts';
import type { OwnerRecord } from '../own/owner-records.ts';
import { ownerRecordOf, ownOwner } from '../own/owner-records.ts';
import type { Page, PageRequest } from '../context/paging.ts';
import { pageOf, partsOfCursor } from '../context/paging.ts';

/** One owner of the caller's organisation. */
export async function showOwner(
  context: Context,
  caller: Caller,
  id: string,
): Promise<OwnerRecord> {
  return ownerRecordOf(await ownOwner(context.store.records, caller, id));
}

/** Whether the owner of one of the caller's cars was erased. */
export async function isWithoutOwner(
  context: Context,
  caller: Caller,
  carId: string,
): Promise<boolean> {
  const { records, sql } = context.store;
  await ownCar(records, caller, carId);
  return isCarOwnerErased(sql, carId);
}

/** The owners of the caller's organisation, in the order they were added. */
export async function listOwners(
  context: Context,
  caller: Caller,
  { limit, after }: PageRequest,
): Promise<Page<OwnerRecord>> {
  const [from] = partsOfCursor(after, ['id']) ?? [''];
  const rows = await ownersAfter(
    context.store.records,
    caller.organisationId,
    from ?? '',
    limit + 1,
  );
  return pageOf(rows, limit, ownerRecordOf, (row) => [row.id]);
}
