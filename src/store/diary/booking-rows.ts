import type { VisitKind } from '../../domain/bench/minutes.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';
import { first, insertRows } from '../database/sql.ts';

export type BookingRow = {
  id: string;
  organisationId: string;
  topId: string;
  carId: string;
  kind: VisitKind;
  plannedOn: Day;
  dropOffAt: Instant;
  readyAt: Instant;
  createdAt: Instant;
};

/** Adds a booked visit. Hold the diary while its room is looked up and this is done. */
export async function addBooking(sql: Sql, row: BookingRow): Promise<void> {
  await insertRows(sql, 'visit', [{ ...row, state: 'booked' }]);
}

/** The booking of a kind that a top has from a day on, the soonest first; null if none. */
export function standingBooking(
  sql: Sql,
  topId: string,
  kind: VisitKind,
  from: Day,
): Promise<{ id: string; plannedOn: Day } | null> {
  return first(
    sql,
    `SELECT "id", "plannedOn" FROM "visit" WHERE "topId" = ? AND "state" = 'booked' AND "kind" = ? AND "plannedOn" >= ? ORDER BY "plannedOn" LIMIT 1`,
    [topId, kind, from],
  );
}

/** A visit of an organisation with what decides whether it can be moved. */
export function bookingNamed(
  sql: Sql,
  organisationId: string,
  id: string,
): Promise<{
  id: string;
  topId: string;
  kind: VisitKind;
  state: string;
  minutes: number | null;
  version: number;
} | null> {
  return first(
    sql,
    'SELECT "id", "topId", "kind", "state", "minutes", "version" FROM "visit" WHERE "id" = ? AND "organisationId" = ?',
    [id, organisationId],
  );
}

/** Moves a booking at its version; a count of 0 where it was changed or done meanwhile. */
export async function moveBookingTo(
  sql: Sql,
  booking: { readonly id: string; readonly version: number },
  {
    on,
    dropOffAt,
    readyAt,
  }: { readonly on: Day; readonly dropOffAt: Instant; readonly readyAt: Instant },
): Promise<{ count: number }> {
  const count = await sql.run(
    `UPDATE "visit" SET "plannedOn" = ?, "dropOffAt" = ?, "readyAt" = ?, "version" = "version" + 1 WHERE "id" = ? AND "version" = ? AND "state" = 'booked'`,
    [on, dropOffAt, readyAt, booking.id, booking.version],
  );
  return { count };
}
