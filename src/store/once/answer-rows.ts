import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';
import { first } from '../database/sql.ts';

/** What a request under a key was answered; headers and body are null once they were forgotten. */
export type AnswerRow = {
  accessKeyId: string;
  key: string;
  requestHash: string;
  status: number;
  headers: string | null;
  body: string | null;
  createdAt: Instant;
};

/** The answer kept for a key since `since`; an older one counts as gone. */
export function findAnswer(
  sql: Sql,
  { accessKeyId, key }: Pick<AnswerRow, 'accessKeyId' | 'key'>,
  since: Instant,
): Promise<AnswerRow | null> {
  return first(
    sql,
    'SELECT * FROM "idempotent_answer" WHERE "accessKeyId" = ? AND "key" = ? AND "createdAt" >= ? AND "status" IS NOT NULL',
    [accessKeyId, key, since],
  );
}

/** Keeps an answer in the place of an older one. */
export async function storeAnswer(sql: Sql, row: AnswerRow): Promise<void> {
  await sql.run(
    'INSERT INTO "idempotent_answer" ("accessKeyId", "key", "requestHash", "status", "headers", "body", "createdAt") VALUES (?, ?, ?, ?, ?, ?, ?) ON CONFLICT ("accessKeyId", "key") DO UPDATE SET "requestHash" = excluded."requestHash", "status" = excluded."status", "headers" = excluded."headers", "body" = excluded."body", "createdAt" = excluded."createdAt"',
    [row.accessKeyId, row.key, row.requestHash, row.status].concat(
      row.headers ?? '',
      row.body ?? '',
      row.createdAt,
    ),
  );
}

/** Forgets answers to an organisation, but not that it was answered. */
export async function forgetAnswers(sql: Sql, organisationId: string): Promise<void> {
  await sql.run(
    `UPDATE "idempotent_answer" SET "headers" = NULL, "body" = NULL WHERE "accessKeyId" IN (SELECT "id" FROM "access_key" WHERE "organisationId" = ? UNION ALL SELECT 'person:' || "id" FROM "person" WHERE "organisationId" = ?)`,
    [organisationId, organisationId],
  );
}

/** Forgets what was kept since before `before`, and what earlier versions kept unsealed or unended. */
export async function forgetAnswersBefore(sql: Sql, before: Instant): Promise<void> {
  await sql.run(
    `DELETE FROM "idempotent_answer" WHERE "createdAt" < ? OR "status" IS NULL OR "body" LIKE '{%'`,
    [before],
  );
}
