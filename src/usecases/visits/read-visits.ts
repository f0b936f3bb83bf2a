import { visitsAfter } from '../../store/visits/visit-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import type { Page, PageRequest } from '../context/paging.ts';
import { pageOf, partsOfCursor } from '../context/paging.ts';
import { ownTop } from '../own/top-records.ts';
import type { VisitRecord } from '../own/visit-records.ts';
import { visitRecord, visitRecordsOf } from '../own/visit-records.ts';

/** One visit. */
export function showVisit(context: Context, caller: Caller, id: string): Promise<VisitRecord> {
  return visitRecord(context.store.records, caller, id);
}

/** The visits of a top, in the order they were recorded. */
export async function listVisits(
  context: Context,
  caller: Caller,
  { topId, limit, after }: PageRequest & { topId: string },
): Promise<Page<VisitRecord>> {
  await ownTop(context.store.sql, caller, topId);
  const [from] = partsOfCursor(after, ['id']) ?? [''];
  const rows = await visitsAfter(context.store.records, caller.organisationId, topId, {
    after: from ?? '',
    most: limit + 1,
  });
  const visits = await visitRecordsOf(context.store.records, rows);
  return pageOf(
    visits,
    limit,
    (visit) => visit,
    (visit) => [visit.id],
  );
}
