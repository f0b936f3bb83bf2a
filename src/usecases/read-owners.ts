import type { Caller, Deed } from './deed.ts';
import type { OwnerRecord } from './owner-records.ts';
import { ownerRecordOf, ownOwner } from './owner-records.ts';
import type { Page, PageRequest } from './paging.ts';
import { pageOf, partsOfCursor } from './paging.ts';

/** One owner of the caller's organisation. */
export async function showOwner(deed: Deed, caller: Caller, id: string): Promise<OwnerRecord> {
  return ownerRecordOf(await ownOwner(deed.store.records, caller, id));
}

/** The owners of the caller's organisation, in the order they were added. */
export async function listOwners(
  deed: Deed,
  caller: Caller,
  { limit, after }: PageRequest,
): Promise<Page<OwnerRecord>> {
  const [from] = partsOfCursor(after, 1) ?? [''];
  const rows = await deed.store.records.owner.findMany({
    where: { organisationId: caller.organisationId, erasedAt: null, id: { gt: from ?? '' } },
    orderBy: { id: 'asc' },
    take: limit + 1,
  });
  return pageOf(rows, limit, ownerRecordOf, (row) => [row.id]);
}
