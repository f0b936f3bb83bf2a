import type { Day } from '../../domain/calendar/day.ts';
import { hasRight } from '../../domain/people/rights.ts';
import { careDayOf } from '../../store/care-days/place-rows.ts';
import { flag } from '../../store/database/sql.ts';
import { findingsOfVisits, readingsOfVisits } from '../../store/care-days/result-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import type { CareDayRecord, PlaceRecord } from './care-day-record.ts';
import { loadCareDay } from './care-day-record.ts';

/** What came of one car on a care day. */
export interface CarResult {
  readonly place: PlaceRecord;
  readonly oiled: number;
  /** Joints found in another state than free, by state. */
  readonly states: ReadonlyMap<string, number>;
  readonly washersMissing: number;
  readonly findings: readonly string[];
}

export interface DayResultRecord {
  readonly day: CareDayRecord;
  readonly done: readonly CarResult[];
  readonly missed: readonly PlaceRecord[];
  /** Had a time and nobody has said yet what became of it. */
  readonly open: readonly PlaceRecord[];
}

/** The care day that a visit belongs to; null for one of no care day, and for whoever sees none. */
export async function careDayOfVisit(
  { store }: Context,
  caller: Caller,
  visitId: string,
): Promise<{ readonly id: string; readonly heldOn: Day } | null> {
  if (!hasRight(caller, 'care-day')) return null;
  return careDayOf(store.sql, caller.organisationId, visitId);
}

/** What came of a care day, from what was written down of each car. */
export async function readDayResult(
  context: Context,
  caller: Caller,
  dayId: string,
): Promise<DayResultRecord> {
  requireRight(caller, 'read-records');
  const { sql } = context.store;
  const { day, places } = await loadCareDay(sql, caller.organisationId, dayId, context.now());
  const visitIds = places.flatMap(({ doneVisitId }) => doneVisitId ?? []);
  const readings = await readingsOfVisits(sql, visitIds);
  const findings = await findingsOfVisits(sql, visitIds);
  return {
    day,
    done: places
      .filter(({ standing }) => standing === 'done')
      .map((place) => {
        const read = readings.filter(({ visitId }) => visitId === place.doneVisitId);
        const states = new Map<string, number>();
        for (const { state } of read) {
          if (state !== 'free') states.set(state, (states.get(state) ?? 0) + 1);
        }
        return {
          place,
          states,
          oiled: read.filter(({ oiled }) => flag(oiled)).length,
          washersMissing: read.reduce(
            (sum, { washersExpected, washersPresent }) =>
              sum + (washersPresent === null ? 0 : Math.max(0, washersExpected - washersPresent)),
            0,
          ),
          findings: findings
            .filter(({ visitId }) => visitId === place.doneVisitId)
            .map(({ text }) => text),
        };
      }),
    missed: places.filter(({ standing }) => standing === 'missed'),
    open: places.filter(({ standing }) => standing === 'placed'),
  };
}
