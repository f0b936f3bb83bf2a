import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';
import type { LiveKeyRow } from '../organisations/key-rows.ts';
import { first, insertRows } from '../database/sql.ts';

/** A sign-in as stored: the hash of its token, the key that it was made with, and its end. */
export type SessionRow = {
  id: string;
  organisationId: string;
  accessKeyId: string;
  hash: string;
  createdAt: Instant;
  expiresAt: Instant;
};

/** Stores a session and forgets those that have ended. */
export async function storeSession(sql: Sql, row: SessionRow): Promise<void> {
  await sql.run('DELETE FROM "session" WHERE "expiresAt" <= ?', [row.createdAt]);
  await insertRows(sql, 'session', [row]);
}

/**
 * The key behind a session that has not ended, with the kind of its organisation, or null; a key that
 * ended ends its sessions.
 */
export function keyOfSession(
  sql: Sql,
  hash: string,
  now: Instant,
): Promise<(LiveKeyRow & { kind: string; language: string }) | null> {
  return first(
    sql,
    `SELECT k."id", k."organisationId", k."scope", k."name", k."lastUsedAt", k."boundToCars", g."kind", g."language" FROM "session" s JOIN "access_key" k ON k."id" = s."accessKeyId" JOIN "organisation" g ON g."id" = k."organisationId" WHERE s."hash" = ? AND s."expiresAt" > ? AND k."revokedAt" IS NULL AND (k."expiresAt" IS NULL OR k."expiresAt" > ?)`,
    [hash, now, now],
  );
}

export async function endSession(sql: Sql, hash: string): Promise<void> {
  await sql.run('DELETE FROM "session" WHERE "hash" = ?', [hash]);
}
