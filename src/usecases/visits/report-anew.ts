import type { Instant } from '../../domain/calendar/instant.ts';
import { Refused } from '../../domain/refusal.ts';
import { holdCars } from '../../store/database/car-lock.ts';
import type { Sql } from '../../store/database/sql.ts';
import { findVisit } from '../../store/visits/visit-rows.ts';
import type { VisitRow } from '../../store/visits/visit-rows.ts';
import { lastReport } from '../../store/visits/visit-letter-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireVersion } from '../context/version.ts';
import { notFound } from '../../domain/refusal.ts';
import { tellOfVisit } from './visit-letters.ts';

/** The report of a visit that left: its reader takes it for true. */
export interface LeftReport {
  readonly at: Instant;
  readonly toName: string;
  /** The visit was put right since, and nobody has written so. */
  readonly outdated: boolean;
}

/** The report of a visit that left; null where none did, or a newer one waits. */
export async function leftReport(
  { store }: Context,
  { organisationId }: Caller,
  visitId: string,
): Promise<LeftReport | null> {
  const visit = await findVisit(store.records, organisationId, visitId);
  return visit === null ? null : leftReportOf(store.sql, visit);
}

/**
 * Writes the report of a visit once more, as it stands now, and says which one it takes the place of.
 * Refused where none has left that says something else.
 */
export async function reportAnew(
  context: Context,
  caller: Caller,
  visitId: string,
  version: number | '*' | null,
): Promise<void> {
  const now = context.now();
  await context.store.write(async ({ records, sql }) => {
    const visit = await findVisit(records, caller.organisationId, visitId);
    if (visit === null) throw notFound('visit');
    await holdCars(sql, [visit.carId]);
    requireVersion(version, visit.version);
    const report = await leftReportOf(sql, visit);
    if (visit.state !== 'done' || report?.outdated !== true) {
      const detail = 'No report of this visit has left that says something else than its record.';
      throw new Refused({ kind: 'conflict', detail });
    }
    await tellOfVisit(context, sql, visitId, now, { insteadOf: report.at });
  });
}

async function leftReportOf(
  sql: Sql,
  visit: Pick<VisitRow, 'id' | 'carId' | 'changedAt'>,
): Promise<LeftReport | null> {
  const report = await lastReport(sql, visit);
  if (report === null || report.settledAt === null) return null;
  const outdated = (visit.changedAt ?? '') > report.settledAt;
  return { at: report.settledAt, toName: report.toName, outdated };
}
