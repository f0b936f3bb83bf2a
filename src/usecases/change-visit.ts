import type { Day } from '../domain/calendar/day.ts';
import { dayIn } from '../domain/calendar/zone.ts';
import { invalid, notFound, Refused } from '../domain/refusal.ts';
import { reconsiderCars } from './cancel-untrue.ts';
import type { Caller, Deed } from './deed.ts';
import type { VisitWork } from './record-visit.ts';
import { measuredColumns, refuseDays, settleVisit, storeWork } from './record-visit.ts';
import { ownTop } from './top-records.ts';
import { requireVersion } from './version.ts';
import { tellOfVisit } from './visit-letters.ts';
import type { VisitRecord } from './visit-records.ts';
import { visitRecord } from './visit-records.ts';

/** Moves a booked visit, calls it off, notes that nobody came, or completes it with what was done. */
export type VisitChange = VisitWork & {
  readonly plannedOn?: Day | undefined;
  readonly doneOn?: Day | undefined;
  readonly state?: 'booked' | 'missed' | 'cancelled' | undefined;
};

/**
 * Changes a visit that has not taken place yet, and tells its owner. A done visit is history and
 * stays as it was written.
 */
export async function changeVisit(
  deed: Deed,
  caller: Caller,
  id: string,
  change: VisitChange,
  version: number | '*' | null,
): Promise<VisitRecord> {
  const now = deed.now();
  await deed.store.write(async (tx) => {
    const row = await tx.records.visit.findFirst({
      where: { id, organisationId: caller.organisationId },
    });
    if (row === null) throw notFound('visit');
    requireVersion(version, row.version);
    if (row.state === 'done') {
      throw new Refused({
        kind: 'conflict',
        detail: 'This visit is done and stays as it was written. Record another visit.',
      });
    }
    if (change.doneOn !== undefined && change.state !== undefined) {
      throw invalid('#/state', 'A visit with doneOn is done; leave state out.');
    }
    const top = await ownTop(tx.sql, caller, row.topId);
    const { plannedOn = row.plannedOn ?? undefined, doneOn, ...work } = change;
    if (doneOn !== undefined || change.plannedOn !== undefined) {
      refuseDays(top, { ...work, plannedOn, doneOn }, dayIn(top.timeZone, now));
    }
    await tx.records.visit.update({
      where: { id },
      data: {
        plannedOn: plannedOn ?? null,
        doneOn: doneOn ?? null,
        state: doneOn === undefined ? (change.state ?? row.state) : 'done',
        ...(doneOn === undefined ? {} : measuredColumns(work)),
        version: row.version + 1,
      },
    });
    if (doneOn !== undefined) await storeWork(tx, caller, top, id, doneOn, work);
    await settleVisit(tx, caller, top);
    await reconsiderCars(tx.sql, [row.carId], now);
    await tellOfVisit(deed, tx.sql, id, now);
  });
  return visitRecord(deed.store.records, caller, id);
}
