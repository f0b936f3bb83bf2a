import type { Caller, Context } from '../context/context.ts';
import type { Page, PageRequest } from '../context/paging.ts';
import { pageOf, partsOfCursor } from '../context/paging.ts';
import type { LubricationRecord, TopRecord, TopRow } from '../own/top-records.ts';
import { lubricationRecordOf, ownTop, pivotsOf, topRecordOf } from '../own/top-records.ts';

/** One top with its pivots and what is due. */
export async function showTop(context: Context, caller: Caller, id: string): Promise<TopRecord> {
  const row = await ownTop(context.store.sql, caller, id);
  return topRecordOf(row, await pivotsOf(context.store.sql, row), context.now());
}

/** The tops of the caller's organisation, or of one car, retired ones too, in the order of fitting in. */
export async function listTops(
  context: Context,
  caller: Caller,
  { limit, after, carId }: PageRequest & { carId?: string | undefined },
): Promise<Page<TopRecord>> {
  const { sql } = context.store;
  const [from = ''] = partsOfCursor(after, 1) ?? [''];
  const rows = await sql.all<TopRow>(
    `SELECT t.*, c."timeZone", g."ownRules" FROM "top" t JOIN "car" c ON c."id" = t."carId" JOIN "organisation" g ON g."id" = t."organisationId" WHERE t."organisationId" = ? AND t."id" > ?${carId === undefined ? '' : ' AND t."carId" = ?'} ORDER BY t."id" LIMIT ?`,
    [caller.organisationId, from, ...(carId === undefined ? [] : [carId]), limit + 1],
  );
  const now = context.now();
  const records = new Map<string, TopRecord>();
  for (const row of rows.slice(0, limit)) {
    records.set(row.id, topRecordOf(row, await pivotsOf(sql, row), now));
  }
  return pageOf(
    rows,
    limit,
    (row) => records.get(row.id) ?? topRecordOf(row, [], now),
    (row) => [row.id],
  );
}

export interface DueRecord {
  readonly topId: string;
  readonly carId: string;
  readonly ownerId: string;
  readonly registration: string;
  readonly ownerName: string;
  readonly lubrication: LubricationRecord;
}

/** Tops on cars whose lubrication is due by a day, soonest first. */
export async function listDue(
  context: Context,
  caller: Caller,
  { until, limit, after }: PageRequest & { until: string },
): Promise<Page<DueRecord>> {
  const [day = '', id = ''] = partsOfCursor(after, 2) ?? ['', ''];
  const rows = await context.store.sql.all<
    TopRow & { registration: string; ownerId: string; ownerName: string }
  >(
    `SELECT t.*, c."timeZone", g."ownRules", c."registration", c."ownerId", o."name" AS "ownerName" FROM "top" t JOIN "car" c ON c."id" = t."carId" JOIN "owner" o ON o."id" = c."ownerId" JOIN "organisation" g ON g."id" = t."organisationId" WHERE t."organisationId" = ? AND t."retiredOn" IS NULL AND t."dueOn" <= ? AND (t."dueOn" > ? OR (t."dueOn" = ? AND t."id" > ?)) ORDER BY t."dueOn", t."id" LIMIT ?`,
    [caller.organisationId, until, day, day, id, limit + 1],
  );
  const now = context.now();
  return pageOf(
    rows,
    limit,
    (row) => ({
      topId: row.id,
      carId: row.carId,
      ownerId: row.ownerId,
      registration: row.registration,
      ownerName: row.ownerName,
      lubrication: lubricationRecordOf(row, now),
    }),
    (row) => [row.dueOn, row.id],
  );
}
