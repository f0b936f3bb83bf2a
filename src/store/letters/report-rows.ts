import type { Instant } from '../../domain/calendar/instant.ts';
import { ERASED_ADDRESS } from '../owners/erasure-rows.ts';
import type { LetterRow } from './letter-rows.ts';
import type { Sql } from '../database/sql.ts';
import { first, insertRows } from '../database/sql.ts';

/** What a message that came back said about one letter; kept under the digest of its bytes. */
export type ReportRow = {
  organisationId: string;
  digest: string;
  letterId: string;
  kind: string;
  verdict: string;
  words: string;
  receivedAt: Instant;
};

/** The letter that a report is about, by its id or its Message-ID and by nothing else. */
export function reportedLetter(
  sql: Sql,
  by: { readonly id: string } | { readonly messageId: string },
  organisationId: string | null,
): Promise<LetterRow | null> {
  const [column, value] = 'id' in by ? ['id', by.id] : ['messageId', by.messageId];
  const own = organisationId === null ? '' : ' AND "organisationId" = ?';
  return first(
    sql,
    `SELECT * FROM "letter" WHERE "${column}" = ?${own}`,
    organisationId === null ? [value] : [value, organisationId],
  );
}

/** Notes a report; false where the same bytes were noted before. */
export async function addReport(sql: Sql, row: ReportRow): Promise<boolean> {
  return (await insertRows(sql, 'report', [row], true)) > 0;
}

/**
 * A letter that had left came back: it has failed, and why. One that was not out stays as it is. The
 * answer quotes the address, so it is not kept of a letter whose owner was erased.
 */
export async function markReturned(
  sql: Sql,
  letterId: string,
  at: Instant,
  fault: string,
  response: string | null,
): Promise<void> {
  await sql.run(
    `UPDATE "letter" SET "state" = 'failed', "settledAt" = ?, "nextTryAt" = NULL, "fault" = ?, "response" = CASE WHEN "toAddress" = '${ERASED_ADDRESS}' THEN NULL ELSE COALESCE(?, "response") END WHERE "id" = ? AND "state" IN ('delivered', 'unknown')`,
    [at, fault, response, letterId],
  );
}

/** The reports in which a receiver objected to the sender or the letter, latest first. */
export function objectionsSince(
  sql: Sql,
  organisationId: string,
  since: Instant,
  limit: number,
): Promise<{ at: Instant; letterId: string; ownerId: string; words: string }[]> {
  return sql.all(
    `SELECT r."receivedAt" AS "at", r."letterId", l."ownerId", r."words" FROM "report" r JOIN "letter" l ON l."id" = r."letterId" WHERE r."organisationId" = ? AND r."verdict" = 'policy' AND r."receivedAt" >= ? ORDER BY r."receivedAt" DESC LIMIT ?`,
    [organisationId, since, limit],
  );
}

/** Letters that a mail server refused outright, latest first, with its answer. */
export function refusalsSince(
  sql: Sql,
  organisationId: string,
  since: Instant,
  limit: number,
): Promise<{ at: Instant; letterId: string; ownerId: string; response: string; fault: string }[]> {
  return sql.all(
    `SELECT "settledAt" AS "at", "id" AS "letterId", "ownerId", "response", "fault" FROM "letter" WHERE "organisationId" = ? AND "state" = 'failed' AND "settledAt" >= ? AND "response" IS NOT NULL AND "fault" IS NOT NULL AND NOT EXISTS (SELECT 1 FROM "report" r WHERE r."letterId" = "letter"."id") ORDER BY "settledAt" DESC LIMIT ?`,
    [organisationId, since, limit],
  );
}
