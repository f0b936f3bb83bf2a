import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';
import { first } from '../database/sql.ts';

export type PositionRow = {
  id: string;
  organisationId: string;
  carId: string;
  position: string;
  at: Instant;
  damp: boolean;
  coverOn: boolean | null;
  recordedAt: Instant;
  recordedBy: string;
  withdrawnAt: Instant | null;
};

const APPEND =
  'INSERT INTO "position_entry" ("id", "organisationId", "carId", "position", "at", "damp", "coverOn", "recordedAt", "recordedBy", "withdrawnAt") VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)';

export async function appendEntry(sql: Sql, row: PositionRow): Promise<void> {
  const { id, organisationId, carId, position, at, damp, coverOn, recordedAt, recordedBy } = row;
  const told = [position, at, damp, coverOn, recordedAt, recordedBy, row.withdrawnAt];
  await sql.run(APPEND, [id, organisationId, carId, ...told]);
}

/** The valid entries of a car up to an instant, in any order. */
export function validEntriesOf(
  sql: Sql,
  carId: string,
  until: Instant,
): Promise<Pick<PositionRow, 'position' | 'at' | 'damp' | 'coverOn'>[]> {
  return sql.all(
    'SELECT "position", "at", "damp", "coverOn" FROM "position_entry" WHERE "carId" = ? AND "at" <= ? AND "withdrawnAt" IS NULL ORDER BY "at", "id"',
    [carId, until],
  );
}

/** The day on which the first top that is on record for a car was fitted; null where none is. */
export async function firstFittedOn(sql: Sql, carId: string): Promise<string | null> {
  const row = await first<{ fittedOn: string | null }>(
    sql,
    'SELECT MIN("fittedOn") AS "fittedOn" FROM "top" WHERE "carId" = ?',
    [carId],
  );
  return row?.fittedOn ?? null;
}

/** A page of the log, withdrawn entries too, oldest first. */
export function logPage(
  sql: Sql,
  carId: string,
  after: readonly [Instant, string],
  limit: number,
): Promise<PositionRow[]> {
  return sql.all(
    'SELECT * FROM "position_entry" WHERE "carId" = ? AND ("at" > ? OR ("at" = ? AND "id" > ?)) ORDER BY "at", "id" LIMIT ?',
    [carId, after[0], after[0], after[1], limit],
  );
}

export function entryOf(sql: Sql, carId: string, entryId: string): Promise<PositionRow | null> {
  return first(sql, 'SELECT * FROM "position_entry" WHERE "id" = ? AND "carId" = ?', [
    entryId,
    carId,
  ]);
}

/** Marks an entry as withdrawn; the first withdrawal stands. */
export async function withdraw(sql: Sql, entryId: string, at: Instant): Promise<void> {
  await sql.run(
    'UPDATE "position_entry" SET "withdrawnAt" = ? WHERE "id" = ? AND "withdrawnAt" IS NULL',
    [at, entryId],
  );
}

/** A car of an organisation with what its clock needs. */
export function carForLog(
  sql: Sql,
  organisationId: string,
  carId: string,
): Promise<{ id: string; timeZone: string; foldedLimitDays: number } | null> {
  return first(
    sql,
    `SELECT "id", "timeZone", "foldedLimitDays" FROM "car" WHERE "id" = ? AND "organisationId" = ?`,
    [carId, organisationId],
  );
}
