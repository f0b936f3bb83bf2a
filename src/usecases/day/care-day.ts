import { addDays } from '../../domain/calendar/day.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { bookedBetween } from '../../store/diary/care-day-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { showOrganisation } from '../organisations/organisations.ts';
import { mayMoveOf } from '../own/may-move.ts';

/** Cars that are booked, day by day. */
export interface BookedDaysRecord {
  readonly organisation: string;
  readonly days: readonly {
    readonly on: Day;
    readonly cars: readonly {
      readonly registration: string;
      readonly kind: string;
      readonly minutes: number | null;
      /** Its top must not be moved before it is repaired. */
      readonly mustStay: boolean;
    }[];
  }[];
}

const DAYS_AHEAD = 60;

/** Which cars come on the days ahead, for whoever helps then: no owners, no addresses, no history. */
export async function readCareDay(context: Context, caller: Caller): Promise<BookedDaysRecord> {
  requireRight(caller, 'care-day');
  const { name, timeZone } = await showOrganisation(context, caller);
  const today = dayIn(timeZone, context.now());
  const { sql } = context.store;
  const until = addDays(today, DAYS_AHEAD);
  const rows = await bookedBetween(sql, caller.organisationId, today, until);
  const cars = rows.map(({ carId }) => ({ carId, timeZone }));
  const verdicts = await mayMoveOf(sql, caller.organisationId, cars, context.now());
  const days = [...new Set(rows.map(({ plannedOn }) => plannedOn))].map((on) => ({
    on,
    cars: rows
      .filter(({ plannedOn }) => plannedOn === on)
      .map(({ registration, kind, minutes, carId }) => ({
        registration,
        kind,
        minutes,
        mustStay: verdicts.get(carId)?.verdict === 'leave',
      })),
  }));
  return { organisation: name, days };
}
