import type { Deed } from './deed.ts';
import { hashOf } from './secret.ts';
import { addHours } from '../domain/calendar/instant.ts';
import { first } from '../store/sql.ts';

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
  | { readonly kind: 'repeat'; readonly answer: StoredAnswer };

/** Takes a key for a request, or says what became of the request that took it before. */
export async function beginOnce(
  deed: Deed,
  keyId: string,
  key: string,
  request: string,
): Promise<Begun> {
  const now = deed.now();
  const requestHash = hashOf(request);
  return deed.store.writeSql(async (sql) => {
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
    if (before.status === null) return { kind: 'running' };
    return {
      kind: 'repeat',
      answer: {
        status: before.status,
        headers: JSON.parse(before.headers ?? '{}') as Record<string, string>,
        body: before.body ?? '',
      },
    };
  });
}

/** Keeps the answer for repetition; null gives the key back, because the server itself was at fault. */
export async function endOnce(
  deed: Deed,
  keyId: string,
  key: string,
  answer: StoredAnswer | null,
): Promise<void> {
  await deed.store.writeSql((sql) =>
    answer === null
      ? sql.run('DELETE FROM "idempotent_answer" WHERE "accessKeyId" = ? AND "key" = ?', [
          keyId,
          key,
        ])
      : sql.run(
          'UPDATE "idempotent_answer" SET "status" = ?, "headers" = ?, "body" = ? WHERE "accessKeyId" = ? AND "key" = ?',
          [answer.status, JSON.stringify(answer.headers), answer.body, keyId, key],
        ),
  );
}

/** Forgets requests that never ended because the process died, so that they can be sent again. */
export async function forgetUnended(deed: Deed, before: string): Promise<void> {
  await deed.store.writeSql((sql) =>
    sql.run('DELETE FROM "idempotent_answer" WHERE "status" IS NULL AND "createdAt" < ?', [before]),
  );
}
