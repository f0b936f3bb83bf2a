import type { Day } from '../domain/calendar/day.ts';
import { dayIn } from '../domain/calendar/zone.ts';
import type { PatternPivot } from '../domain/pivots/frame-patterns.ts';
import type { CarRecord } from './car-records.ts';
import type { Caller, Deed } from './deed.ts';
import { patternPivots } from './frame-patterns.ts';
import { showCar } from './read-cars.ts';
import type { TopPivotsRecord } from './read-pivots.ts';
import { readTopPivots } from './read-pivots.ts';
import { showTop } from './read-tops.ts';
import type { TopRecord } from './top-records.ts';
import type { VisitRecord } from './visit-records.ts';
import { visitRecord, visitRecordsOf } from './visit-records.ts';

export interface TopPageRecord {
  readonly top: TopRecord;
  readonly car: CarRecord;
  /** The day that it is where the car is. */
  readonly today: Day;
  readonly pivots: TopPivotsRecord;
  /** Where the pivots are drawn; empty for a pattern that is no longer known. */
  readonly pattern: readonly PatternPivot[];
  /** Visits that were booked and not yet said to be over, the soonest first. */
  readonly booked: VisitRecord[];
}

/** A top with its frame as a drawing and what the readings at its pivots say. */
export async function readTopPage(deed: Deed, caller: Caller, id: string): Promise<TopPageRecord> {
  const top = await showTop(deed, caller, id);
  const car = await showCar(deed, caller, top.carId);
  return {
    top,
    car,
    today: dayIn(car.timeZone, deed.now()),
    pivots: await readTopPivots(deed, caller, id),
    pattern: (await patternPivots(deed.store.records, caller, top.framePattern)) ?? [],
    booked: await bookedVisitsOf(deed, id),
  };
}

/** A booked visit with the top that it is for. */
export async function readVisitPage(
  deed: Deed,
  caller: Caller,
  id: string,
): Promise<TopPageRecord & { readonly visit: VisitRecord }> {
  const visit = await visitRecord(deed.store.records, caller, id);
  return { visit, ...(await readTopPage(deed, caller, visit.topId)) };
}

async function bookedVisitsOf({ store }: Deed, topId: string): Promise<VisitRecord[]> {
  const rows = await store.records.visit.findMany({
    where: { topId, state: { in: ['planned', 'booked'] } },
    orderBy: [{ plannedOn: 'asc' }, { id: 'asc' }],
  });
  return visitRecordsOf(store.records, rows);
}
