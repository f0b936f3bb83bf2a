import type { Context } from '../context/context.ts';
import { seal, unseal } from '../context/seal.ts';
import { hashOf } from '../context/secret.ts';
import { addHours } from '../../domain/calendar/instant.ts';
import type { Sql } from '../../store/database/sql.ts';
import { first } from '../../store/database/sql.ts';

/** How long an answer is kept for repetition. */
export const KEPT_HOURS = 24;

export interface StoredAnswer {
  readonly status: number;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: string;
}

export type Begun =
  | { readonly kind: 'first' }
  | { readonly kind: 'running' }
  | { readonly kind: 'other-request' }
  | { readonly kind: 'forgotten'; readonly status: number }
  | { readonly kind: 'repeat'; readonly answer: StoredAnswer };

/** Under what a request is done once. */
export interface OnceKey {
  readonly keyId: string;
  /**
   * The access key as it was sent. What is stored of an answer can be read with it alone: answers
   * show links and people, and the database knows this key only by its hash.
   */
  readonly secret: string;
  readonly key: string;
}

/** Takes a key for a request, or says what became of the request that took it before. */
export async function beginOnce(context: Context, once: OnceKey, request: string): Promise<Begun> {
  const { keyId, key } = once;
  const now = context.now();
  const requestHash = hashOf(request);
  return context.store.writeSql(async (sql) => {
    await sql.run('DELETE FROM "idempotent_answer" WHERE "createdAt" < ?', [
      addHours(now, -KEPT_HOURS),
    ]);
    const taken = await sql.run(
      'INSERT INTO "idempotent_answer" ("accessKeyId", "key", "requestHash", "createdAt") VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING',
      [keyId, key, requestHash, now],
    );
    if (taken === 1) return { kind: 'first' };
    const before = await first<{
      requestHash: string;
      status: number | null;
      headers: string | null;
      body: string | null;
    }>(
      sql,
      'SELECT "requestHash", "status", "headers", "body" FROM "idempotent_answer" WHERE "accessKeyId" = ? AND "key" = ?',
      [keyId, key],
    );
    if (before === null || before.requestHash !== requestHash) return { kind: 'other-request' };
    const { status } = before;
    if (status === null) return { kind: 'running' };
    const body = before.body === null ? null : unseal(once.secret, aboutOf(once), before.body);
    if (body === null) return { kind: 'forgotten', status };
    const headers = JSON.parse(before.headers ?? '{}') as Record<string, string>;
    return { kind: 'repeat', answer: { status, headers, body } };
  });
}

/**
 * Keeps the answer for repetition, sealed; null gives the key back, because the server itself was at
 * fault.
 */
export async function endOnce(
  context: Context,
  once: OnceKey,
  answer: StoredAnswer | null,
): Promise<void> {
  const { keyId, key } = once;
  await context.store.writeSql((sql) =>
    answer === null
      ? sql.run('DELETE FROM "idempotent_answer" WHERE "accessKeyId" = ? AND "key" = ?', [
          keyId,
          key,
        ])
      : sql.run(
          'UPDATE "idempotent_answer" SET "status" = ?, "headers" = ?, "body" = ? WHERE "accessKeyId" = ? AND "key" = ?',
          [
            answer.status,
            JSON.stringify(answer.headers),
            seal(once.secret, aboutOf(once), answer.body),
            keyId,
            key,
          ],
        ),
  );
}

function aboutOf({ keyId, key }: OnceKey): string {
  return `answer ${keyId} ${key}`;
}

/**
 * Forgets what was answered to an organisation, but not that it was done. Call it where somebody is
 * erased: nobody but the holders of its keys could say which of the sealed answers are about them.
 */
export async function forgetAnswers(sql: Sql, organisationId: string): Promise<void> {
  await sql.run(
    'UPDATE "idempotent_answer" SET "headers" = NULL, "body" = NULL WHERE "accessKeyId" IN (SELECT "id" FROM "access_key" WHERE "organisationId" = ?)',
    [organisationId],
  );
}

/**
 * Forgets requests that never ended because the process died, so that they can be sent again; with
 * them answers that were kept long enough, and those that an earlier version kept unsealed.
 */
export async function forgetUnended(context: Context, before: string): Promise<void> {
  await context.store.writeSql((sql) =>
    sql.run(
      `DELETE FROM "idempotent_answer" WHERE ("status" IS NULL AND "createdAt" < ?) OR "createdAt" < ? OR "body" LIKE '{%'`,
      [before, addHours(before, -KEPT_HOURS)],
    ),
  );
}
