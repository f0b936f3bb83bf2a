import { changeVisitRow, findVisit } from '../../store/visits/visit-rows.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { invalid, notFound, Refused } from '../../domain/refusal.ts';
import { lockDiary } from '../../store/diary/diary-rows.ts';
import { reconsiderCars, reconsiderWork, tellsOfMoving } from '../round/cancel-untrue.ts';
import type { Caller, Context } from '../context/context.ts';
import { roomOn } from '../bench/free-day.ts';
import type { VisitWork } from './record-visit.ts';
import {
  measuredColumns,
  refuseDays,
  refuseWorkAhead,
  settleVisit,
  storeWork,
} from './record-visit.ts';
import { ownTop } from '../own/top-records.ts';
import { requireHeld, requireVersion } from '../context/version.ts';
import { retellVisits, tellOfVisit } from './visit-letters.ts';
import type { VisitKind, VisitRecord } from '../own/visit-records.ts';
import { visitRecord } from '../own/visit-records.ts';

/** Moves a booked visit, calls it off, notes that nobody came, or completes it with what was done. */
export type VisitChange = VisitWork & {
  readonly kind?: VisitKind | undefined;
  readonly plannedOn?: Day | undefined;
  readonly doneOn?: Day | undefined;
  readonly state?: 'booked' | 'missed' | 'cancelled' | undefined;
};

/**
 * Changes a visit that has not taken place yet, and tells its owner. A done visit is history and
 * stays as it was written. A visit that takes room of the bench which it did not take before, moved,
 * lengthened or booked again, must find it in the diary, as a new booking must.
 */
export async function changeVisit(
  context: Context,
  caller: Caller,
  id: string,
  change: VisitChange,
  version: number | '*' | null,
): Promise<VisitRecord> {
  const now = context.now();
  const { organisationId } = caller;
  const { plannedOn: movedTo, doneOn, state, kind, ...work } = change;
  if (doneOn !== undefined && state !== undefined) {
    throw invalid('#/state', 'A visit with doneOn is done; leave state out.');
  }
  await context.store.write(async (tx) => {
    const { records, sql } = tx;
    if (doneOn === undefined) await lockDiary(sql, organisationId);
    const row = await findVisit(records, organisationId, id);
    if (row === null) throw notFound('visit');
    requireVersion(version, row.version);
    if (row.state === 'done') {
      throw new Refused({
        kind: 'conflict',
        detail: 'This visit is done and stays as it was written. Record another visit.',
      });
    }
    const top = await ownTop(sql, caller, row.topId);
    if (state === 'missed') refuseMissedAhead(movedTo ?? row.plannedOn, dayIn(top.timeZone, now));
    const plannedOn = movedTo ?? row.plannedOn ?? undefined;
    if (doneOn === undefined) refuseWorkAhead(work);
    if (doneOn !== undefined || movedTo !== undefined || state === 'booked') {
      refuseDays(top, { ...work, plannedOn, doneOn }, dayIn(top.timeZone, now));
    }
    const next = {
      kind: kind ?? row.kind,
      plannedOn: plannedOn ?? null,
      doneOn: doneOn ?? null,
      state: doneOn === undefined ? (state ?? row.state) : 'done',
      ...(doneOn === undefined ? givenOf(measuredColumns(work)) : measuredColumns(work)),
      notes: work.notes ?? row.notes,
    };
    let times = { dropOffAt: row.dropOffAt, readyAt: row.readyAt };
    if (plannedOn !== undefined && takesMore(row, { ...row, ...next })) {
      const wanted = {
        topId: top.id,
        kind: next.kind as VisitKind,
        plannedOn,
        minutes: work.minutes ?? row.minutes,
        movedId: id,
        // A visit that only takes longer is brought when it was to be brought.
        keepAt: plannedOn === row.plannedOn ? row.dropOffAt : null,
      };
      const { dropOffAt = null, readyAt = null } =
        (await roomOn(sql, organisationId, wanted, now)) ?? {};
      times = { dropOffAt, readyAt };
    }
    requireHeld(await changeVisitRow(records, row, { ...next, ...times }));
    if (doneOn !== undefined) await storeWork(tx, caller, top, id, doneOn, work);
    await settleVisit(tx, caller, top);
    if (work.findings !== undefined) await reconsiderWork(sql, [row.carId], now);
    else await reconsiderCars(sql, [row.carId], now, tellsOfMoving);
    await tellOfVisit(context, sql, id, now);
    await retellVisits(context, sql, row.carId, now);
  });
  return visitRecord(context.store.records, caller, id);
}

/** Whether nobody came shows on the day itself; before it, a visit is called off or moved. */
function refuseMissedAhead(plannedOn: Day | null, today: Day): void {
  if (plannedOn === null || plannedOn <= today) return;
  throw invalid(
    '#/state',
    `This visit is on ${plannedOn}; that nobody came can be said from that day on. Call it off or move it instead.`,
  );
}

/** Of measures those that were given: what a booking says already is not wiped out by silence. */
function givenOf<Columns extends object>(columns: Columns): Partial<Columns> {
  const given = Object.entries(columns).filter(([, value]) => value !== null);
  return Object.fromEntries(given) as Partial<Columns>;
}

interface Booking {
  readonly state: string;
  readonly plannedOn: Day | null;
  readonly minutes: number | null;
}

function takesMore(before: Booking, next: Booking): boolean {
  if (next.state !== 'booked') return false;
  return (
    before.state !== 'booked' ||
    before.plannedOn !== next.plannedOn ||
    (next.minutes ?? 0) > (before.minutes ?? 0)
  );
}
