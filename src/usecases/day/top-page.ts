import { visitsAhead } from '../../store/visits/visit-rows.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { PatternPivot } from '../../domain/pivots/frame-patterns.ts';
import { isCarOwnerErased } from '../../store/owners/owner-rows.ts';
import type { CarRecord } from '../own/car-records.ts';
import type { Caller, Context } from '../context/context.ts';
import { patternPivots } from '../tops/frame-patterns.ts';
import { showCar } from '../cars/read-cars.ts';
import type { TopPivotsRecord } from '../tops/read-pivots.ts';
import { readTopPivots } from '../tops/read-pivots.ts';
import { showTop } from '../tops/read-tops.ts';
import type { TopRecord } from '../own/top-records.ts';
import type { VisitRecord } from '../own/visit-records.ts';
import { visitRecord, visitRecordsOf } from '../own/visit-records.ts';

export interface TopPageRecord {
  readonly top: TopRecord;
  readonly car: CarRecord;
  /** The owner of the car was erased: nobody is left to be rung or written to. */
  readonly erased: boolean;
  /** The day that it is where the car is. */
  readonly today: Day;
  readonly pivots: TopPivotsRecord;
  /** Where the pivots are drawn; empty for a pattern that is no longer known. */
  readonly pattern: readonly PatternPivot[];
  /** Visits that were booked and not yet said to be over, the soonest first. */
  readonly booked: VisitRecord[];
}

/** A top with its frame as a drawing and what the readings at its pivots say. */
export async function readTopPage(
  context: Context,
  caller: Caller,
  id: string,
): Promise<TopPageRecord> {
  const top = await showTop(context, caller, id);
  const car = await showCar(context, caller, top.carId);
  return {
    top,
    car,
    erased: await isCarOwnerErased(context.store.sql, car.id),
    today: dayIn(car.timeZone, context.now()),
    pivots: await readTopPivots(context, caller, id),
    pattern: (await patternPivots(context.store.records, caller, top.framePattern)) ?? [],
    booked: await bookedVisitsOf(context, id),
  };
}

/** A booked visit with the top that it is for. */
export async function readVisitPage(
  context: Context,
  caller: Caller,
  id: string,
): Promise<TopPageRecord & { readonly visit: VisitRecord }> {
  const visit = await visitRecord(context.store.records, caller, id);
  return { visit, ...(await readTopPage(context, caller, visit.topId)) };
}

async function bookedVisitsOf({ store }: Context, topId: string): Promise<VisitRecord[]> {
  const rows = await visitsAhead(store.records, topId);
  return visitRecordsOf(store.records, rows);
}
