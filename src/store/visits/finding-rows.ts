import type { Day } from '../../domain/calendar/day.ts';
import type { AdvisedWork, Outcome } from '../../domain/warranty/declined.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, first } from '../database/sql.ts';

/** A finding as one word about a piece of work, with where it stands. */
export interface FoundWork extends AdvisedWork {
  readonly id: string;
  readonly visitId: string;
  readonly topId: string;
  readonly text: string;
}

interface Row {
  id: string;
  visitId: string;
  topId: string;
  fault: string | null;
  pivotCode: string | null;
  text: string;
  advised: string | null;
  outcome: Outcome;
  on: Day;
}

const found = (more: string) =>
  `SELECT f."id", f."visitId", f."topId", f."fault", f."pivotCode", f."text", f."advised", f."outcome", COALESCE(f."decidedOn", v."doneOn") AS "on"${more} FROM "finding" f JOIN "visit" v ON v."id" = f."visitId"`;

/** Everything found on some tops, in the order in which it was recorded. One query. */
export async function workOnTops(sql: Sql, topIds: readonly string[]): Promise<FoundWork[]> {
  if (topIds.length === 0) return [];
  const rows = await sql.all<Row>(
    `${found('')} WHERE f."topId" ${AMONG} ORDER BY v."doneOn", f."id"`,
    [topIds],
  );
  return rows.map(workOf);
}

/** Everything found on the cars of an organisation on which some work was declined. One query. */
export async function workWithRefusals(
  sql: Sql,
  organisationId: string,
): Promise<(FoundWork & { readonly carId: string; readonly topRetired: boolean })[]> {
  const rows = await sql.all<Row & { carId: string; retiredOn: Day | null }>(
    `${found(', t."carId", t."retiredOn"')} JOIN "top" t ON t."id" = f."topId" WHERE t."carId" IN (SELECT u."carId" FROM "finding" d JOIN "top" u ON u."id" = d."topId" WHERE d."organisationId" = ? AND d."outcome" = 'declined') ORDER BY v."doneOn", f."id"`,
    [organisationId],
  );
  return rows.map((row) => ({
    ...workOf(row),
    carId: row.carId,
    topRetired: row.retiredOn !== null,
  }));
}

/** The visits of an organisation that found a fault, and on how many of them each was found. */
export async function faultCounts(
  sql: Sql,
  organisationId: string,
): Promise<{ visits: number; found: Record<string, number> }> {
  const rows = await sql.all<{ fault: string; n: number }>(
    'SELECT "fault", COUNT(DISTINCT "visitId") AS "n" FROM "finding" WHERE "organisationId" = ? AND "fault" IS NOT NULL GROUP BY "fault"',
    [organisationId],
  );
  const [all] = await sql.all<{ n: number }>(
    'SELECT COUNT(DISTINCT "visitId") AS "n" FROM "finding" WHERE "organisationId" = ? AND "fault" IS NOT NULL',
    [organisationId],
  );
  return {
    visits: all?.n ?? 0,
    found: Object.fromEntries(rows.map(({ fault, n }) => [fault, n])),
  };
}

function workOf(row: Row): FoundWork {
  const { id, visitId, topId, pivotCode, text, outcome, on } = row;
  return {
    id,
    visitId,
    topId,
    fault: row.fault ?? text,
    pivotCode,
    text,
    advised: row.advised ?? text,
    outcome,
    on,
  };
}

/** How a finding stands; null where it was taken back. */
export function findingNow(
  sql: Sql,
  organisationId: string,
  id: string,
): Promise<{ visitId: string; outcome: string; pivotCode: string | null } | null> {
  return first(
    sql,
    'SELECT "visitId", "outcome", "pivotCode" FROM "finding" WHERE "organisationId" = ? AND "id" = ?',
    [organisationId, id],
  );
}
