import type { Caller, Deed } from './deed.ts';
import type { Page, PageRequest } from './paging.ts';
import { pageOf, partsOfCursor } from './paging.ts';
import { ownTop } from './top-records.ts';
import type { VisitRecord } from './visit-records.ts';
import { visitRecord, visitRecordsOf } from './visit-records.ts';

/** One visit. */
export function showVisit(deed: Deed, caller: Caller, id: string): Promise<VisitRecord> {
  return visitRecord(deed.store.records, caller, id);
}

/** The visits of a top, in the order they were recorded. */
export async function listVisits(
  deed: Deed,
  caller: Caller,
  { topId, limit, after }: PageRequest & { topId: string },
): Promise<Page<VisitRecord>> {
  await ownTop(deed.store.sql, caller, topId);
  const [from] = partsOfCursor(after, 1) ?? [''];
  const rows = await deed.store.records.visit.findMany({
    where: { topId, organisationId: caller.organisationId, id: { gt: from ?? '' } },
    orderBy: { id: 'asc' },
    take: limit + 1,
  });
  const visits = await visitRecordsOf(deed.store.records, rows);
  return pageOf(
    visits,
    limit,
    (visit) => visit,
    (visit) => [visit.id],
  );
}
