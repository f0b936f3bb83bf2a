import type { Day } from '../../domain/calendar/day.ts';
import { hasRight } from '../../domain/people/rights.ts';
import { invalid, notFound, Refused } from '../../domain/refusal.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { visitRecord } from '../own/visit-records.ts';
import { changeVisit } from '../visits/change-visit.ts';
import type { VisitCorrection } from '../visits/correct-visit.ts';
import { correctVisit } from '../visits/correct-visit.ts';
import type { VisitWork } from '../visits/record-visit.ts';
import { loadCareDay } from './care-day-record.ts';

/** A car of a care day, at the bench on the day itself. */
export interface AtBench {
  readonly heldOn: Day;
  /** The visit whose work is recorded: its booking, or what was recorded of it today. */
  readonly visitId: string;
  /** Whether it was recorded already, so that saying it again puts it right. */
  readonly done: boolean;
}

export interface BenchNamed {
  readonly dayId: string;
  readonly placeId: string;
}

/**
 * The car of a care day that somebody may record on. Whoever records work everywhere may do so here
 * too; a helper of the day only on the day itself, of the cars that have a time on it.
 */
export async function atBench(
  context: Context,
  caller: Caller,
  { dayId, placeId }: BenchNamed,
): Promise<AtBench> {
  requireRight(caller, 'record-care-day');
  const { day, places } = await loadCareDay(
    context.store.sql,
    caller.organisationId,
    dayId,
    context.now(),
  );
  const place = places.find(({ id }) => id === placeId);
  if (place === undefined) throw notFound('car on this care day');
  if (day.state === 'called-off') throw refused('This care day is called off.');
  if (day.heldOn !== day.today && !hasRight(caller, 'record-work')) {
    throw refused(
      'At the bench it is written down on the day itself. What has to be put right afterwards, a fitter, the desk or a manager puts right.',
    );
  }
  const { doneVisitId, visitId } = place;
  const { heldOn } = day;
  if (doneVisitId !== null) return { heldOn, visitId: doneVisitId, done: true };
  if (visitId === null) throw refused('This car has no time on this day.');
  return { heldOn, visitId, done: false };
}

/**
 * Records what was done and found at the bench, or puts it right where it was recorded before. It is
 * of that day: another is refused, and so is work of another day that closed the booking.
 */
export async function recordAtBench(
  context: Context,
  caller: Caller,
  named: BenchNamed,
  work: VisitWork & Pick<VisitCorrection, 'findings'> & { readonly doneOn: Day },
  version: number | null,
): Promise<void> {
  const { heldOn, visitId, done } = await atBench(context, caller, named);
  if (work.doneOn !== heldOn) {
    throw invalid('#/doneOn', `This is for the care day: leave ${heldOn} as it is.`);
  }
  if (!done) {
    await changeVisit(context, caller, visitId, work, version);
    return;
  }
  const visit = await visitRecord(context.store.records, caller, visitId);
  if (visit.doneOn !== heldOn) throw refused('Its work was recorded on another day.');
  await correctVisit(context, caller, visitId, { ...work, kind: visit.kind }, version);
}

function refused(detail: string): Refused {
  return new Refused({ kind: 'conflict', detail });
}
