import type { Instant } from '../../domain/calendar/instant.ts';
import type { SignInStep } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first, insertRows } from '../database/sql.ts';

/** Stores a challenge and forgets those that nobody answered. */
export async function storeStep(sql: Sql, row: SignInStep, now: Instant): Promise<void> {
  await sql.run('DELETE FROM "sign_in_step" WHERE "expiresAt" <= ?', [now]);
  await insertRows(sql, 'sign_in_step', [{ ...row }]);
}

/** Takes a challenge that was given for a purpose: it is good for one answer. */
export function takeStep(
  sql: Sql,
  hash: string,
  purpose: string,
  now: Instant,
): Promise<Pick<SignInStep, 'challenge' | 'personId'> | null> {
  return first(
    sql,
    'DELETE FROM "sign_in_step" WHERE "hash" = ? AND "purpose" = ? AND "expiresAt" > ? RETURNING "challenge", "personId"',
    [hash, purpose, now],
  );
}

/**
 * Counts a try for an address before it is looked at, so that no two of them pass at once. Gives the
 * tries since `since`, this one with them; what is older counts no more and is forgotten.
 */
export async function countTry(
  sql: Sql,
  addressHash: string,
  now: Instant,
  since: Instant,
): Promise<number> {
  await sql.run('DELETE FROM "sign_in_try" WHERE "since" <= ?', [since]);
  const row = await first<{ count: number }>(
    sql,
    'INSERT INTO "sign_in_try" ("addressHash", "count", "since") VALUES (?, 1, ?) ON CONFLICT ("addressHash") DO UPDATE SET "count" = "sign_in_try"."count" + 1 RETURNING "count"',
    [addressHash, now],
  );
  return row?.count ?? 0;
}

/** Somebody came in with an address: what was tried for it before is forgotten. */
export async function forgetTries(sql: Sql, addressHash: string): Promise<void> {
  await sql.run('DELETE FROM "sign_in_try" WHERE "addressHash" = ?', [addressHash]);
}
