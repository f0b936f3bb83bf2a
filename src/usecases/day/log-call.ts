import type { CallOutcome } from '../../domain/calls/earlier-calls.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { invalid } from '../../domain/refusal.ts';
import { addCall, ownerOfCar } from '../../store/cars/calls-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { diaryCalendar } from '../bench/diary-calendar.ts';

export interface NewCall {
  readonly carId: string;
  readonly outcome: CallOutcome;
  readonly notes?: string | undefined;
}

export interface LoggedCallRecord {
  readonly id: string;
  readonly carId: string;
  readonly ownerId: string;
  readonly on: Day;
  readonly outcome: CallOutcome;
  readonly notes: string | null;
  readonly recordedAt: Instant;
}

/** Logs a call made today and what came of it; the car comes later in the call list for a while. */
export async function logCall(
  context: Context,
  caller: Caller,
  call: NewCall,
): Promise<LoggedCallRecord> {
  const now = context.now();
  const { organisationId } = caller;
  const { carId, outcome, notes = null } = call;
  return context.store.writeSql(async (sql) => {
    const car = await ownerOfCar(sql, organisationId, carId);
    if (car === null) throw invalid('#/carId', 'There is no such car here.');
    const { today } = await diaryCalendar(sql, organisationId, now);
    const { ownerId } = car;
    const id = newId();
    await addCall(sql, {
      id,
      organisationId,
      carId,
      ownerId,
      calledOn: today,
      outcome,
      notes,
      recordedAt: now,
    });
    return { id, carId, ownerId, on: today, outcome, notes, recordedAt: now };
  });
}
