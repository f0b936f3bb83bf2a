import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { notFound } from '../../domain/refusal.ts';
import type { PivotState } from '../../domain/pivots/state.ts';
import type { Records } from '../../store/database/store.ts';
import type { VisitRow } from '../../store/visits/visit-rows.ts';
import { findVisit, workOfVisits } from '../../store/visits/visit-rows.ts';
import type { Caller } from '../context/context.ts';

export const VISIT_KINDS = ['lubrication', 'settling', 'look', 'repair'] as const;
export type VisitKind = (typeof VISIT_KINDS)[number];
export const VISIT_STATES = ['planned', 'booked', 'done', 'missed', 'cancelled'] as const;
export type VisitState = (typeof VISIT_STATES)[number];
export const FINDING_OUTCOMES = ['advised', 'accepted', 'declined', 'done'] as const;
export type FindingOutcome = (typeof FINDING_OUTCOMES)[number];

export interface ReadingRecord {
  readonly pivot: string;
  readonly state: PivotState;
  readonly oiled: boolean;
  readonly repaired: boolean;
  readonly lubricant: string | null;
  readonly washersPresent: number | null;
  readonly axialPlayMm: number | null;
  readonly radialPlayMm: number | null;
}

export interface FindingRecord {
  readonly id: string;
  readonly fault: string | null;
  readonly pivot: string | null;
  readonly text: string;
  readonly advised: string | null;
  readonly outcome: FindingOutcome;
  readonly decidedOn: Day | null;
}

export interface VisitRecord {
  readonly id: string;
  readonly topId: string;
  readonly carId: string;
  readonly kind: VisitKind;
  readonly state: VisitState;
  readonly plannedOn: Day | null;
  /** When the car is to be brought, and when it is ready, of a booking that has times. */
  readonly dropOffAt: Instant | null;
  readonly readyAt: Instant | null;
  readonly doneOn: Day | null;
  readonly minutes: number | null;
  readonly swayMm: number | null;
  readonly diagonalsMm: { readonly left: number; readonly right: number } | null;
  readonly breakawayN: number | null;
  readonly notes: string | null;
  readonly readings: ReadingRecord[];
  readonly findings: FindingRecord[];
  readonly version: number;
}

/** A visit of the caller's organisation with its readings and findings. */
export async function visitRecord(
  records: Records,
  caller: Caller,
  id: string,
): Promise<VisitRecord> {
  const row = await findVisit(records, caller.organisationId, id);
  if (row === null) throw notFound('visit');
  return (await visitRecordsOf(records, [row]))[0] as VisitRecord;
}

/** Visits with their readings and findings, three queries however many they are. */
export async function visitRecordsOf(
  records: Records,
  rows: readonly VisitRow[],
): Promise<VisitRecord[]> {
  const { readings, pivots, findings } = await workOfVisits(
    records,
    rows.map((row) => row.id),
  );
  const codes = new Map(pivots.map((pivot) => [pivot.id, pivot]));
  return rows.map((row) => ({
    id: row.id,
    topId: row.topId,
    carId: row.carId,
    kind: row.kind as VisitKind,
    state: row.state as VisitState,
    plannedOn: row.plannedOn,
    dropOffAt: row.dropOffAt,
    readyAt: row.readyAt,
    doneOn: row.doneOn,
    minutes: row.minutes,
    swayMm: row.swayMm,
    diagonalsMm:
      row.diagonalLeftMm === null || row.diagonalRightMm === null
        ? null
        : { left: row.diagonalLeftMm, right: row.diagonalRightMm },
    breakawayN: row.breakawayN,
    notes: row.notes,
    readings: readings
      .filter((reading) => reading.visitId === row.id)
      .sort((a, b) => (codes.get(a.pivotId)?.place ?? 0) - (codes.get(b.pivotId)?.place ?? 0))
      .map((reading) => ({
        pivot: codes.get(reading.pivotId)?.code ?? '',
        state: reading.state as PivotState,
        oiled: reading.oiled,
        repaired: reading.repaired,
        lubricant: reading.lubricant,
        washersPresent: reading.washersPresent,
        axialPlayMm: reading.axialPlayMm,
        radialPlayMm: reading.radialPlayMm,
      })),
    findings: findings
      .filter((finding) => finding.visitId === row.id)
      .map((finding) => ({
        id: finding.id,
        fault: finding.fault,
        pivot: finding.pivotCode,
        text: finding.text,
        advised: finding.advised,
        outcome: finding.outcome as FindingOutcome,
        decidedOn: finding.decidedOn,
      })),
    version: row.version,
  }));
}
