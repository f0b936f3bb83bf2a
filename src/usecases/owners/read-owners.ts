import { ownersAfter } from '../../store/owners/owner-rows.ts';
import type { Caller, Context } from '../context/context.ts';
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

/** The owners of the caller's organisation, in the order they were added. */
export async function listOwners(
  context: Context,
  caller: Caller,
  { limit, after }: PageRequest,
): Promise<Page<OwnerRecord>> {
  const [from] = partsOfCursor(after, 1) ?? [''];
  const rows = await ownersAfter(
    context.store.records,
    caller.organisationId,
    from ?? '',
    limit + 1,
  );
  return pageOf(rows, limit, ownerRecordOf, (row) => [row.id]);
}
