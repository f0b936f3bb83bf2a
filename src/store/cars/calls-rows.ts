import type { CallOutcome } from '../../domain/calls/earlier-calls.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Position } from '../../domain/folding/position-log.ts';
import { UNSEEN } from '../sharing/sight.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, first, insertRows } from '../database/sql.ts';

/** A car with the top that is on it, and its owner, as one who rings needs them. */
export interface CallableCarRow {
  carId: string;
  timeZone: string;
  foldedLimitDays: number;
  framePattern: string;
  powered: unknown;
  dueOn: Day;
  lubricatedOn: Day | null;
  /** The visit after which joints are to be looked at again. */
  lookAfterOn: Day | null;
  ownerId: string;
  refusesCalls: unknown;
  /** The last day from today on for which a visit is booked. */
  bookedUntil: Day | null;
}

/** Of some cars those that have a top and an owner, with what is booked for them from a day on. */
export function callableCars(
  sql: Sql,
  carIds: readonly string[],
  today: Day,
): Promise<CallableCarRow[]> {
  return sql.all(
    `SELECT c."id" AS "carId", c."timeZone", c."foldedLimitDays", t."framePattern", t."powered", t."dueOn", t."lubricatedOn", t."lookAfterOn", o."id" AS "ownerId", o."refusesCalls",
       (SELECT MAX(v."plannedOn") FROM "visit" v WHERE v."carId" = c."id" AND v."state" = 'booked' AND v."plannedOn" >= ?) AS "bookedUntil"
     FROM "car" c JOIN "top" t ON t."carId" = c."id" AND t."retiredOn" IS NULL
     JOIN "owner" o ON o."id" = c."ownerId"
     WHERE c."id" ${AMONG} AND o."erasedAt" IS NULL ORDER BY c."id"`,
    [today, carIds],
  );
}

/** A fault found on a top and not mended, and what the owner said to it. */
export interface OpenFaultRow {
  carId: string;
  fault: string;
  pivot: string | null;
  outcome: string;
}

/** The faults found on the tops that are on some cars and not mended, by car. */
export function openFaults(sql: Sql, carIds: readonly string[]): Promise<OpenFaultRow[]> {
  return sql.all(
    `SELECT DISTINCT t."carId", f."fault", f."pivotCode" AS "pivot", f."outcome" FROM "top" t JOIN "finding" f ON f."topId" = t."id" JOIN "visit" v ON v."id" = f."visitId" WHERE t."carId" ${AMONG} AND t."retiredOn" IS NULL AND f."fault" IS NOT NULL AND f."outcome" <> 'done' AND v."state" = 'done' ORDER BY t."carId", f."fault", f."pivotCode", f."outcome"`,
    [carIds],
  );
}

export interface FoldedEntryRow {
  carId: string;
  position: Position;
  at: Instant;
  damp: unknown;
}

/** Some cars that may be seen to stand folded at an instant, by their last valid entry, with their limits. */
export function foldedOf(
  sql: Sql,
  carIds: readonly string[],
  at: Instant,
): Promise<{ carId: string; timeZone: string; foldedLimitDays: number }[]> {
  return sql.all(
    `SELECT c."id" AS "carId", c."timeZone", c."foldedLimitDays" FROM "car" c WHERE c."id" ${AMONG} AND (
       SELECT l."position" FROM "position_entry" l
       WHERE l."carId" = c."id" AND l."at" <= ? AND l."withdrawnAt" IS NULL
       ORDER BY l."at" DESC, l."id" DESC LIMIT 1) = 'folded' AND NOT ${UNSEEN}`,
    [carIds, at],
  );
}

/** The valid log entries of some cars up to an instant, the oldest first. */
export function logsOf(
  sql: Sql,
  carIds: readonly string[],
  at: Instant,
): Promise<FoldedEntryRow[]> {
  return sql.all(
    `SELECT "carId", "position", "at", "damp" FROM "position_entry" WHERE "carId" ${AMONG} AND "at" <= ? AND "withdrawnAt" IS NULL ORDER BY "at", "id"`,
    [carIds, at],
  );
}

/** The first valid entry after an instant of each of some cars that have one. */
export function entriesToCome(
  sql: Sql,
  carIds: readonly string[],
  at: Instant,
): Promise<{ carId: string; at: Instant }[]> {
  return sql.all(
    `SELECT "carId", MIN("at") AS "at" FROM "position_entry" WHERE "carId" ${AMONG} AND "at" > ? AND "withdrawnAt" IS NULL GROUP BY "carId"`,
    [carIds, at],
  );
}

export type CallRow = {
  id: string;
  organisationId: string;
  carId: string;
  ownerId: string;
  calledOn: Day;
  outcome: CallOutcome;
  notes: string | null;
  recordedAt: Instant;
};

/** The calls about some cars since a day, oldest first. */
export function callsSince(
  sql: Sql,
  carIds: readonly string[],
  since: Day,
): Promise<Pick<CallRow, 'carId' | 'calledOn' | 'outcome'>[]> {
  return sql.all(
    `SELECT "carId", "calledOn", "outcome" FROM "call_entry" WHERE "carId" ${AMONG} AND "calledOn" >= ? ORDER BY "calledOn", "recordedAt", "id"`,
    [carIds, since],
  );
}

export function ownerOfCar(
  sql: Sql,
  organisationId: string,
  carId: string,
): Promise<{ ownerId: string } | null> {
  return first(sql, 'SELECT "ownerId" FROM "car" WHERE "id" = ? AND "organisationId" = ?', [
    carId,
    organisationId,
  ]);
}

export async function addCall(sql: Sql, row: CallRow): Promise<void> {
  await insertRows(sql, 'call_entry', [row]);
}

/** A call that an organisation noted; null where it has none of this id. */
export function findCall(sql: Sql, organisationId: string, id: string): Promise<CallRow | null> {
  return first(sql, 'SELECT * FROM "call_entry" WHERE "id" = ? AND "organisationId" = ?', [
    id,
    organisationId,
  ]);
}

export async function changeCallRow(
  sql: Sql,
  { id, outcome, notes }: Pick<CallRow, 'id' | 'outcome' | 'notes'>,
): Promise<void> {
  await sql.run('UPDATE "call_entry" SET "outcome" = ?, "notes" = ? WHERE "id" = ?', [
    outcome,
    notes,
    id,
  ]);
}

export async function removeCall(sql: Sql, id: string): Promise<void> {
  await sql.run('DELETE FROM "call_entry" WHERE "id" = ?', [id]);
}
