import {
  callOffVisits,
  insertVisit,
  insertWork,
  visitsAheadUntil,
} from '../../store/visits/visit-rows.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { addDays } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { faultOf } from '../../domain/faults/fault-rows.ts';
import type { PivotState } from '../../domain/pivots/state.ts';
import type { Fault } from '../../domain/refusal.ts';
import { invalid, Refused } from '../../domain/refusal.ts';
import { lockDiary } from '../../store/diary/diary-rows.ts';
import { lockOfferedCars, takeOffer } from '../../store/diary/offer-rows.ts';
import type { Writing } from '../../store/database/store.ts';
import { reconsiderCars, reconsiderWork, tellsOfMoving } from '../round/cancel-untrue.ts';
import { ownCar } from '../own/car-records.ts';
import type { Caller, Context } from '../context/context.ts';
import type { BookedTimes } from '../bench/day-times.ts';
import { roomOn } from '../bench/free-day.ts';
import { newId } from '../context/new-id.ts';
import { organisationFigures } from '../figures/shop-rules.ts';
import { refreshLubrication } from '../own/lubrication-record.ts';
import { writeVisitOffered } from '../bench/offer-letters.ts';
import type { PivotRow } from '../../store/tops/pivot-rows.ts';
import type { TopRow } from '../../store/tops/top-rows.ts';
import { refuseWithoutOwner } from '../own/owner-records.ts';
import { ownTop } from '../own/top-records.ts';
import { pivotsOf } from '../../store/tops/pivot-rows.ts';
import type { FindingOutcome, VisitKind, VisitRecord, VisitState } from '../own/visit-records.ts';
import { dropVisitLetters, retellVisits, tellOfVisit } from './visit-letters.ts';
import { visitRecord } from '../own/visit-records.ts';

export interface NewReading {
  readonly pivot: string;
  readonly state: PivotState;
  readonly oiled: boolean;
  readonly repaired?: boolean | undefined;
  readonly lubricant?: string | undefined;
  readonly washersPresent?: number | undefined;
  readonly axialPlayMm?: number | undefined;
  readonly radialPlayMm?: number | undefined;
}

export interface NewFinding {
  readonly fault?: string | undefined;
  readonly pivot?: string | undefined;
  readonly text: string;
  readonly advised?: string | undefined;
  readonly outcome?: FindingOutcome | undefined;
}

/** What was done on a visit. */
export interface VisitWork {
  readonly minutes?: number | undefined;
  readonly readings?: readonly NewReading[] | undefined;
  readonly swayMm?: number | undefined;
  readonly diagonalsMm?: { readonly left: number; readonly right: number } | undefined;
  readonly breakawayN?: number | undefined;
  readonly findings?: readonly NewFinding[] | undefined;
  readonly notes?: string | undefined;
}

export interface NewVisit extends VisitWork {
  readonly kind: VisitKind;
  readonly doneOn?: Day | undefined;
  readonly plannedOn?: Day | undefined;
}

/**
 * Records a visit: a done one with its readings and findings, whatever the diary says, or a booked
 * one with its day, for which the diary must have room: it is held meanwhile, so of two who want the
 * last place one is refused. Letters that the visit makes untrue are cancelled in the same
 * transaction, the owner is told of it, a done visit closes the booking that led to it, and a booked
 * one the offer that did. `tell: false` is for what owners log themselves.
 */
export async function recordVisit(
  context: Context,
  caller: Caller,
  topId: string,
  visit: NewVisit,
  options: { readonly tell?: boolean } = {},
): Promise<VisitRecord> {
  const id = newId();
  const now = context.now();
  const { organisationId } = caller;
  const { kind, doneOn, plannedOn, minutes } = visit;
  const isBooking = doneOn === undefined;
  await context.store.write(async (tx) => {
    if (isBooking) await lockDiary(tx.sql, organisationId);
    const top = await ownTop(tx.sql, caller, topId);
    refuseDays(top, visit, dayIn(top.timeZone, now));
    if (isBooking) await refuseWithoutOwner(tx.sql, top.carId);
    let times: BookedTimes | null = null;
    if (plannedOn !== undefined && isBooking) {
      times = await roomOn(tx.sql, organisationId, { topId, kind, plannedOn, minutes }, now);
      await lockOfferedCars(tx.sql, organisationId, top.carId);
    }
    const state: VisitState = isBooking ? 'booked' : 'done';
    if (doneOn !== undefined) {
      await closeBooking(tx, organisationId, { topId, kind, doneOn, by: id }, now);
    }
    await insertVisit(tx.records, {
      id,
      organisationId,
      topId,
      carId: top.carId,
      kind,
      state,
      plannedOn: plannedOn ?? null,
      dropOffAt: times?.dropOffAt ?? null,
      readyAt: times?.readyAt ?? null,
      doneOn: doneOn ?? null,
      ...measuredColumns(visit),
      createdAt: now,
    });
    await storeWork(tx, caller, top, id, doneOn ?? null, visit);
    await settleVisit(tx, caller, top);
    if (visit.findings !== undefined) await reconsiderWork(tx.sql, [top.carId], now);
    else await reconsiderCars(tx.sql, [top.carId], now, tellsOfMoving);
    await tellOfVisit(context, tx.sql, id, now, options);
    await retellVisits(context, tx.sql, top.carId, now);
    if (isBooking && (await takeOffer(tx.sql, organisationId, { id, topId, kind }, now))) {
      await writeVisitOffered(context, tx.sql, organisationId, now);
    }
  });
  return visitRecord(context.store.records, caller, id);
}

export function measuredColumns(work: VisitWork) {
  return {
    minutes: work.minutes ?? null,
    swayMm: work.swayMm ?? null,
    diagonalLeftMm: work.diagonalsMm?.left ?? null,
    diagonalRightMm: work.diagonalsMm?.right ?? null,
    breakawayN: work.breakawayN ?? null,
    notes: work.notes ?? null,
  };
}

/** Works out anew what follows from a top's visits, inside the transaction. */
export async function settleVisit(tx: Writing, caller: Caller, top: TopRow): Promise<void> {
  if (top.retiredOn !== null) return;
  await refreshLubrication(tx.sql, await ownCar(tx.records, caller, top.carId), top);
}

export function refuseDays(
  top: TopRow,
  visit: Pick<NewVisit, 'doneOn' | 'plannedOn'> & VisitWork,
  today: Day,
): void {
  const { doneOn, plannedOn } = visit;
  if (doneOn === undefined && plannedOn === undefined) {
    throw invalid(
      '#/doneOn',
      'Give doneOn for a visit that took place, or plannedOn for a booked one.',
    );
  }
  if (doneOn === undefined) refuseWorkAhead(visit);
  if (doneOn !== undefined && doneOn > today) {
    throw invalid('#/doneOn', 'This day is still to come. Use plannedOn for a visit to come.');
  }
  if (doneOn !== undefined && doneOn < top.fittedOn) {
    throw invalid(
      '#/doneOn',
      `This top was fitted on ${top.fittedOn}; the visit cannot be earlier.`,
    );
  }
  if (plannedOn !== undefined && plannedOn < top.fittedOn) {
    throw invalid(
      '#/plannedOn',
      `This top was fitted on ${top.fittedOn}; the visit cannot be earlier.`,
    );
  }
  if (top.retiredOn !== null && (doneOn ?? plannedOn ?? '') > top.retiredOn) {
    throw invalid(
      doneOn === undefined ? '#/plannedOn' : '#/doneOn',
      `This top was retired on ${top.retiredOn}. Record the visit with the top that is on the car.`,
    );
  }
}

/** Refuses readings and findings of a visit that has not taken place. */
export function refuseWorkAhead({ readings, findings }: VisitWork): void {
  if (readings === undefined && findings === undefined) return;
  const detail = 'Readings and findings belong to a visit that took place: give doneOn.';
  throw invalid('#/doneOn', detail);
}

/** Stores the readings and findings of a visit, each pivot and measure checked against the top. */
export async function storeWork(
  tx: Writing,
  caller: Caller,
  top: TopRow,
  visitId: string,
  doneOn: Day | null,
  work: VisitWork,
): Promise<void> {
  const pivots = await checkedPivots(tx, top, work);
  if (doneOn === null) return;
  const whose = { organisationId: caller.organisationId, visitId, topId: top.id, doneOn };
  await insertWork(
    tx.sql,
    (work.readings ?? []).map((reading) => readingRow(whose, reading, pivots)),
    (work.findings ?? []).map((finding) => findingRow(whose, finding)),
  );
}

/** The pivots of a top by code, once all that is said of them can be true of them. */
export async function checkedPivots(
  tx: Writing,
  top: TopRow,
  work: VisitWork,
): Promise<ReadonlyMap<string, PivotRow>> {
  const pivots = new Map((await pivotsOf(tx.sql, top)).map((pivot) => [pivot.code, pivot]));
  const faults = [...readingFaults(work, pivots), ...findingFaults(work, pivots)];
  if (faults.length > 0) throw new Refused({ kind: 'invalid', faults });
  return pivots;
}

export interface WhoseWork {
  readonly organisationId: string;
  readonly visitId: string;
  readonly topId: string;
  readonly doneOn: Day;
}

export function readingRow(
  { organisationId, visitId, doneOn }: WhoseWork,
  reading: NewReading,
  pivots: ReadonlyMap<string, PivotRow>,
) {
  return {
    id: newId(),
    organisationId,
    visitId,
    pivotId: pivots.get(reading.pivot)?.id ?? '',
    doneOn,
    state: reading.state,
    oiled: reading.oiled,
    repaired: reading.repaired ?? false,
    lubricant: reading.lubricant ?? null,
    washersPresent: reading.washersPresent ?? null,
    axialPlayMm: reading.axialPlayMm ?? null,
    radialPlayMm: reading.radialPlayMm ?? null,
  };
}

export function findingRow(
  { organisationId, visitId, topId, doneOn }: WhoseWork,
  finding: NewFinding,
) {
  return {
    id: newId(),
    organisationId,
    visitId,
    topId,
    fault: finding.fault ?? null,
    pivotCode: finding.pivot ?? null,
    text: finding.text,
    advised: finding.advised ?? null,
    outcome: finding.outcome ?? 'advised',
    decidedOn: finding.outcome === undefined || finding.outcome === 'advised' ? null : doneOn,
  };
}

function readingFaults(work: VisitWork, pivots: ReadonlyMap<string, PivotRow>): Fault[] {
  const seen = new Set<string>();
  return (work.readings ?? []).flatMap(({ pivot: code, washersPresent }, i) => {
    const pivot = pivots.get(code);
    const pointer = `#/readings/${i}/pivot`;
    if (pivot === undefined) {
      return [{ pointer, detail: `This top has no pivot ${code}. GET the top to see its pivots.` }];
    }
    if (seen.has(code))
      return [{ pointer, detail: `${code} was read twice in this visit. Keep one.` }];
    seen.add(code);
    if (washersPresent !== undefined && washersPresent > pivot.washersExpected) {
      return [
        {
          pointer: `#/readings/${i}/washersPresent`,
          detail: `${code} takes ${pivot.washersExpected} washers; more cannot be present.`,
        },
      ];
    }
    return [];
  });
}

function findingFaults(work: VisitWork, pivots: ReadonlyMap<string, PivotRow>): Fault[] {
  return (work.findings ?? []).flatMap(({ pivot, fault }, i) => {
    const faults: Fault[] = [];
    if (pivot !== undefined && !pivots.has(pivot)) {
      const detail = `This top has no pivot ${pivot}.`;
      faults.push({ pointer: `#/findings/${i}/pivot`, detail });
    }
    if (fault !== undefined && faultOf(fault) === undefined) {
      const detail = `There is no fault "${fault}". See GET /v1/faults, or leave fault out.`;
      faults.push({ pointer: `#/findings/${i}/fault`, detail });
    }
    return faults;
  });
}

/**
 * The booking that led to a visit is closed by it, so that it does not hold back later letters: one of
 * its kind that was planned soon after is taken as the same visit.
 */
async function closeBooking(
  { records, sql }: Writing,
  organisationId: string,
  done: {
    readonly topId: string;
    readonly kind: VisitKind;
    readonly doneOn: Day;
    readonly by: string;
  },
  now: Instant,
): Promise<void> {
  const { sameVisitDays } = await organisationFigures(sql, organisationId, 'bench');
  const closed = await visitsAheadUntil(records, {
    topId: done.topId,
    kind: done.kind,
    until: addDays(done.doneOn, sameVisitDays),
    exceptId: done.by,
  });
  await callOffVisits(
    records,
    closed.map(({ id }) => id),
    now,
    done.by,
  );
  for (const visit of closed) {
    await dropVisitLetters(sql, visit, now, 'the visit took place');
  }
}
