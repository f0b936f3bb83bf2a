import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type {
  EstimateAnswer,
  EstimateState,
  EstimateSum,
  LineKind,
} from '../../domain/estimates/estimate.ts';
import { agreedWork, amountOf, sumOf, wantedLines } from '../../domain/estimates/estimate.ts';
import { notFound } from '../../domain/refusal.ts';
import type { EstimateRow, LineRow } from '../../store/estimates/estimate-rows.ts';
import { findEstimate, linesOf } from '../../store/estimates/estimate-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { Caller } from '../context/context.ts';

export interface EstimateLineRecord {
  readonly id: string;
  readonly kind: LineKind;
  readonly work: number;
  readonly text: string;
  /** In hundredths of an hour or a piece. */
  readonly quantity: number;
  readonly unitPrice: number | null;
  readonly amount: number;
  readonly fault: string | null;
  readonly pivots: readonly string[];
  readonly findings: readonly string[];
  readonly part: string | null;
  readonly strips: boolean;
  readonly answer: EstimateAnswer | null;
}

export interface EstimateRecord {
  readonly id: string;
  readonly number: number;
  readonly carId: string;
  readonly topId: string;
  readonly ownerId: string;
  readonly state: EstimateState;
  readonly currency: string;
  readonly taxRate: number | null;
  readonly taxName: string | null;
  readonly words: string | null;
  readonly madeOn: Day;
  readonly sentAt: Instant | null;
  readonly holdsUntil: Day | null;
  readonly answeredAt: Instant | null;
  readonly replaces: string | null;
  readonly version: number;
  readonly lines: readonly EstimateLineRecord[];
  /** Of all of it. */
  readonly sum: EstimateSum;
  /** Of what was agreed to; null until it was answered. */
  readonly agreed: EstimateSum | null;
}

/** An estimate of the caller's organisation. */
export async function estimateRecord(
  sql: Sql,
  caller: Pick<Caller, 'organisationId'>,
  id: string,
): Promise<EstimateRecord> {
  const row = await findEstimate(sql, caller.organisationId, id);
  if (row === null) throw notFound('estimate');
  return (await recordsOf(sql, [row]))[0] as EstimateRecord;
}

/** Estimates with their lines, one query however many they are. */
export async function recordsOf(sql: Sql, rows: readonly EstimateRow[]): Promise<EstimateRecord[]> {
  const lines = await linesOf(
    sql,
    rows.map(({ id }) => id),
  );
  return rows.map((row) => {
    const own = lines.filter(({ estimateId }) => estimateId === row.id).map(lineRecord);
    const { organisationId: _, ...rest } = row;
    return {
      ...rest,
      state: row.state as EstimateState,
      lines: own,
      sum: sumOf(own, row.taxRate),
      agreed:
        row.state === 'answered' ? sumOf(wantedLines(own, agreedWork(own)), row.taxRate) : null,
    };
  });
}

function lineRecord(row: LineRow): EstimateLineRecord {
  const line = {
    id: row.id,
    kind: row.kind as LineKind,
    work: row.work,
    text: row.text,
    quantity: row.quantity,
    unitPrice: row.unitPrice,
    fault: row.fault,
    pivots: JSON.parse(row.pivots) as string[],
    findings: JSON.parse(row.findings) as string[],
    part: row.part,
    strips: row.strips,
    answer: row.answer as EstimateAnswer | null,
  };
  return { ...line, amount: amountOf(line) };
}
