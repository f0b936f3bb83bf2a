import { FREE_TO_MOVE } from '../../domain/may-move/move-verdict.ts';
import { mayMoveOf } from '../own/may-move.ts';
import { topsAfter, topsDueBy } from '../../store/tops/top-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import type { Page, PageRequest } from '../context/paging.ts';
import { pageOf, partsOfCursor } from '../context/paging.ts';
import type { LubricationRecord, TopRecord } from '../own/top-records.ts';
import { lubricationRecordOf, ownTop, topRecord, topRecordOf } from '../own/top-records.ts';
import { drawnPivotsOf } from '../../store/tops/pivot-rows.ts';

/** One top with its pivots and what is due. */
export async function showTop(context: Context, caller: Caller, id: string): Promise<TopRecord> {
  const row = await ownTop(context.store.sql, caller, id);
  return topRecord(context.store.sql, row, context.now());
}

/** The tops of the caller's organisation, or of one car, retired ones too, in the order of fitting in. */
export async function listTops(
  context: Context,
  caller: Caller,
  { limit, after, carId }: PageRequest & { carId?: string | undefined },
): Promise<Page<TopRecord>> {
  const { sql } = context.store;
  const [from = ''] = partsOfCursor(after, ['id']) ?? [''];
  const rows = await topsAfter(sql, caller.organisationId, { after: from, most: limit + 1, carId });
  const now = context.now();
  const moves = await mayMoveOf(sql, caller.organisationId, rows, now);
  const records = new Map<string, TopRecord>();
  for (const row of rows.slice(0, limit)) {
    const move = moves.get(row.carId) ?? FREE_TO_MOVE;
    records.set(row.id, topRecordOf(row, await drawnPivotsOf(sql, row), move, now));
  }
  return pageOf(
    rows,
    limit,
    (row) => records.get(row.id) ?? topRecordOf(row, [], FREE_TO_MOVE, now),
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
  const [day = '', id = ''] = partsOfCursor(after, ['day', 'id']) ?? ['', ''];
  const rows = await topsDueBy(context.store.sql, caller.organisationId, {
    until,
    after: { day, id },
    most: limit + 1,
  });
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
