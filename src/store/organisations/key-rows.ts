import type { AccessKey } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first, insertRows } from '../database/sql.ts';

/** Adds an access key. */
export async function insertKey(sql: Sql, row: Omit<AccessKey, 'revokedAt'>): Promise<void> {
  await insertRows(sql, 'access_key', [row]);
}

/** The key of a hash that was not revoked, or null. */
export function keyOfHash(
  sql: Sql,
  hash: string,
): Promise<Pick<AccessKey, 'id' | 'organisationId' | 'scope'> | null> {
  return first(
    sql,
    'SELECT "id", "organisationId", "scope" FROM "access_key" WHERE "hash" = ? AND "revokedAt" IS NULL',
    [hash],
  );
}
