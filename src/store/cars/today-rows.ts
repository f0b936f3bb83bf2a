import type { Instant } from '../../domain/calendar/instant.ts';
import type { LetterKind } from '../../domain/round/letter-kind.ts';
import { UNSEEN_LETTER } from '../sharing/sight.ts';
import type { Sql } from '../database/sql.ts';

/** How many letters planned since an instant stand in each state; the sent by what answered to them. */
export function letterCountsSince(
  sql: Sql,
  organisationId: string,
  since: Instant,
  /** What answers begin with that tell of a letter which left nothing but a file. */
  kept: string,
): Promise<{ state: string; isKept: number; n: number }[]> {
  return sql.all(
    `SELECT "state", CASE WHEN "state" = 'delivered' AND "response" LIKE ? THEN 1 ELSE 0 END AS "isKept", COUNT(*) AS "n" FROM "letter" WHERE "organisationId" = ? AND "plannedAt" >= ? GROUP BY 1, 2 ORDER BY 1, 2`,
    [`${kept}%`, organisationId, since],
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
  const columns = `SELECT l."id", l."kind", l."state", l."ownerId", l."toName", l."plannedAt", l."fault", l."nextTryAt" FROM "letter" l WHERE l."organisationId" = ? AND l."fault" IS NOT NULL AND NOT ${UNSEEN_LETTER}`;
  return sql.all(
    `${columns} AND "plannedAt" >= ? AND "state" <> 'cancelled' UNION ${columns} AND "state" = 'unknown' AND "nextTryAt" IS NULL ORDER BY "id" DESC LIMIT ?`,
    [organisationId, since, organisationId, limit],
  );
}

/** A report that was to take the place of one that had left, and was cancelled. */
export interface UnsaidReportRow {
  visitId: string;
  registration: string;
  toName: string;
  plannedAt: Instant;
  cancelledWhy: string | null;
}

/**
 * Reports planned since an instant that were to take the place of one which had left before its visit
 * was put right, were cancelled, and were not written again; the newest first. None to owners who were
 * erased.
 */
export function unsaidReportsSince(
  sql: Sql,
  organisationId: string,
  since: Instant,
  limit: number,
): Promise<UnsaidReportRow[]> {
  const ofVisit = (alias: string) =>
    `${alias}."carId" = o."carId" AND ${alias}."kind" = 'visit-report' AND ${alias}."key" LIKE 'visit-report:' || v."id" || ':%'`;
  return sql.all(
    `SELECT v."id" AS "visitId", c."registration", l."toName", l."plannedAt", l."cancelledWhy" FROM "letter" l JOIN "letter_occasion" o ON o."letterId" = l."id" AND o."kind" = 'visit-report' JOIN "car" c ON c."id" = o."carId" JOIN "owner" w ON w."id" = c."ownerId" AND w."erasedAt" IS NULL JOIN "visit" v ON v."carId" = o."carId" AND v."state" = 'done' WHERE l."organisationId" = ? AND l."plannedAt" >= ? AND l."state" = 'cancelled' AND ${ofVisit('o')} AND NOT EXISTS (SELECT 1 FROM "letter_occasion" n WHERE ${ofVisit('n')} AND n."letterId" > o."letterId") AND EXISTS (SELECT 1 FROM "letter_occasion" b JOIN "letter" left_one ON left_one."id" = b."letterId" WHERE ${ofVisit('b')} AND left_one."state" NOT IN ('cancelled', 'failed') AND left_one."settledAt" < v."changedAt") ORDER BY l."plannedAt" DESC, l."id" DESC LIMIT ?`,
    [organisationId, since, limit],
  );
}
