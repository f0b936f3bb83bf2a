import type { Instant } from '../../domain/calendar/instant.ts';
import type { LetterKind } from '../../domain/round/letter-kind.ts';
import { UNSEEN } from '../sharing/sight.ts';
import type { Sql } from '../database/sql.ts';

/** A car whose last valid entry says that it stands folded, with whom to tell. */
export interface FoldedCarRow {
  carId: string;
  registration: string;
  timeZone: string;
  foldedLimitDays: number;
  ownerId: string;
  ownerName: string;
  phone: string | null;
}

export function foldedCars(sql: Sql, organisationId: string, at: Instant): Promise<FoldedCarRow[]> {
  return sql.all(
    `SELECT c."id" AS "carId", c."registration", c."timeZone", c."foldedLimitDays", o."id" AS "ownerId", o."name" AS "ownerName", o."phone"
     FROM "car" c JOIN "owner" o ON o."id" = c."ownerId"
     WHERE c."organisationId" = ? AND (
       SELECT e."position" FROM "position_entry" e WHERE e."carId" = c."id" AND e."at" <= ? AND e."withdrawnAt" IS NULL
       ORDER BY e."at" DESC, e."id" DESC LIMIT 1) = 'folded' AND NOT ${UNSEEN} ORDER BY c."id"`,
    [organisationId, at],
  );
}

/** How many letters planned since an instant stand in each state. */
export function letterCountsSince(
  sql: Sql,
  organisationId: string,
  since: Instant,
): Promise<{ state: string; n: number }[]> {
  return sql.all(
    'SELECT "state", COUNT(*) AS "n" FROM "letter" WHERE "organisationId" = ? AND "plannedAt" >= ? GROUP BY "state" ORDER BY "state"',
    [organisationId, since],
  );
}

export interface FaultyLetterRow {
  id: string;
  kind: LetterKind;
  state: string;
  ownerId: string;
  toName: string;
  plannedAt: Instant;
  nextTryAt: Instant | null;
  fault: string;
}

/**
 * Letters planned since an instant that met a fault on their way, the newest first, and those of unknown
 * fate that wait for a word, however old.
 */
export function faultyLettersSince(
  sql: Sql,
  organisationId: string,
  since: Instant,
  limit: number,
): Promise<FaultyLetterRow[]> {
  return sql.all(
    `SELECT "id", "kind", "state", "ownerId", "toName", "plannedAt", "fault", "nextTryAt" FROM "letter" WHERE "organisationId" = ? AND ("plannedAt" >= ? OR ("state" = 'unknown' AND "nextTryAt" IS NULL)) AND "fault" IS NOT NULL AND "state" <> 'cancelled' ORDER BY "id" DESC LIMIT ?`,
    [organisationId, since, limit],
  );
}
