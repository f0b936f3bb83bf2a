import type { Day } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { MayMove } from '../../domain/may-move/move-verdict.ts';
import { notFound } from '../../domain/refusal.ts';
import type { EstimateReaderRow } from '../../store/estimates/estimate-rows.ts';
import { estimatesOfCar, readerOfEstimate } from '../../store/estimates/estimate-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { ownCar } from '../own/car-records.ts';
import { mayMoveNow } from '../own/may-move.ts';
import type { EstimateRecord } from './estimate-records.ts';
import { estimateRecord, recordsOf } from './estimate-records.ts';

/** An estimate with whom it is for, as the shop sees it. */
export interface EstimateDeskRecord {
  readonly estimate: EstimateRecord;
  readonly reader: EstimateReaderRow;
  readonly mayMove: MayMove;
  readonly today: Day;
}

export async function readEstimate(
  context: Context,
  caller: Caller,
  id: string,
): Promise<EstimateDeskRecord> {
  const { sql } = context.store;
  const estimate = await estimateRecord(sql, caller, id);
  const reader = await readerOfEstimate(sql, id);
  if (reader === null) throw notFound('estimate');
  return {
    estimate,
    reader,
    mayMove: await mayMoveNow(
      sql,
      caller.organisationId,
      { ...estimate, ...reader },
      context.now(),
    ),
    today: dayIn(reader.ownerZone, context.now()),
  };
}

/** The estimates of a car, the newest first. */
export async function listEstimates(
  context: Context,
  caller: Caller,
  carId: string,
): Promise<EstimateRecord[]> {
  const { sql, records } = context.store;
  await ownCar(records, caller, carId);
  return recordsOf(sql, await estimatesOfCar(sql, caller.organisationId, carId));
}
