import type { CallOutcome } from '../../domain/calls/earlier-calls.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Position } from '../../domain/folding/position-log.ts';
import type { Place, Salt } from '../../domain/lubrication/keeping.ts';
import { UNSEEN } from '../sharing/sight.ts';
import type { Sql } from '../database/sql.ts';
import { first, insertRows } from '../database/sql.ts';

/** A car with the top that is on it, and its owner, as one who rings needs them. */
export interface CallableCarRow {
  carId: string;
  registration: string;
  timeZone: string;
  foldedLimitDays: number;
  place: Place | null;
  salt: Salt | null;
  topId: string;
  framePattern: string;
  powered: unknown;
  dueOn: Day;
  /** The visit after which joints are to be looked at again. */
  lookAfterOn: Day | null;
  ownerId: string;
  ownerName: string;
  phone: string | null;
  refusesCalls: unknown;
  /** How many visits are booked from the day on. */
  booked: number;
}

/** The cars of an organisation that have a top, with what is booked for them from a day on. */
export function callableCars(
  sql: Sql,
  organisationId: string,
  today: Day,
): Promise<CallableCarRow[]> {
  return sql.all(
    `SELECT c."id" AS "carId", c."registration", c."timeZone", c."foldedLimitDays", c."place", c."salt",
       t."id" AS "topId", t."framePattern", t."powered", t."dueOn", t."lookAfterOn",
       o."id" AS "ownerId", o."name" AS "ownerName", o."phone", o."refusesCalls",
       (SELECT COUNT(*) FROM "visit" v WHERE v."carId" = c."id" AND v."state" = 'booked' AND v."plannedOn" >= ?) AS "booked"
     FROM "car" c JOIN "top" t ON t."carId" = c."id" AND t."retiredOn" IS NULL
     JOIN "owner" o ON o."id" = c."ownerId"
     WHERE c."organisationId" = ? AND o."erasedAt" IS NULL
     ORDER BY c."id"`,
    [today, organisationId],
  );
}

/** Ids of faults found on the tops that are on an organisation's cars and not mended, by car. */
export function openFaults(
  sql: Sql,
  organisationId: string,
): Promise<{ carId: string; fault: string }[]> {
  return sql.all(
    `SELECT DISTINCT t."carId", f."fault" FROM "finding" f JOIN "top" t ON t."id" = f."topId" AND t."retiredOn" IS NULL JOIN "visit" v ON v."id" = f."visitId" WHERE f."organisationId" = ? AND f."fault" IS NOT NULL AND f."outcome" <> 'done' AND v."state" = 'done' ORDER BY t."carId", f."fault"`,
    [organisationId],
  );
}

export interface FoldedEntryRow {
  carId: string;
  position: Position;
  at: Instant;
  damp: unknown;
}

/** The valid log entries, up to an instant, of the cars whose last one says that they are folded. */
export function logsOfFoldedCars(
  sql: Sql,
  organisationId: string,
  at: Instant,
): Promise<FoldedEntryRow[]> {
  return sql.all(
    `SELECT e."carId", e."position", e."at", e."damp" FROM "position_entry" e
     WHERE e."at" <= ? AND e."withdrawnAt" IS NULL AND e."carId" IN (
       SELECT c."id" FROM "car" c WHERE c."organisationId" = ? AND (
         SELECT l."position" FROM "position_entry" l
         WHERE l."carId" = c."id" AND l."at" <= ? AND l."withdrawnAt" IS NULL
         ORDER BY l."at" DESC, l."id" DESC LIMIT 1) = 'folded' AND NOT ${UNSEEN})
     ORDER BY e."at", e."id"`,
    [at, organisationId, at],
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

/** The calls of an organisation since a day, oldest first. */
export function callsSince(
  sql: Sql,
  organisationId: string,
  since: Day,
): Promise<Pick<CallRow, 'carId' | 'calledOn' | 'outcome'>[]> {
  return sql.all(
    `SELECT e."carId", e."calledOn", e."outcome" FROM "car" c JOIN "call_entry" e ON e."carId" = c."id" WHERE c."organisationId" = ? AND e."calledOn" >= ? ORDER BY e."calledOn", e."recordedAt", e."id"`,
    [organisationId, since],
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
