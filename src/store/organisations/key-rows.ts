import type { Instant } from '../../domain/calendar/instant.ts';
import type { AccessKey } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, first, flag, insertRows } from '../database/sql.ts';

type NewKey = Pick<AccessKey, 'id' | 'organisationId' | 'hash' | 'scope' | 'createdAt'> &
  Partial<Pick<AccessKey, 'name' | 'expiresAt'>>;

/** Adds an access key; one with cars opens only those. */
export async function insertKey(
  sql: Sql,
  row: NewKey,
  carIds: readonly string[] | null = null,
): Promise<void> {
  await insertRows(sql, 'access_key', [{ ...row, boundToCars: carIds !== null }]);
  const cars = [...new Set(carIds)].map((carId) => ({ accessKeyId: row.id, carId }));
  await insertRows(sql, 'key_car', cars);
}

export type LiveKeyRow = Pick<
  AccessKey,
  'id' | 'organisationId' | 'scope' | 'name' | 'lastUsedAt'
> & { readonly boundToCars: unknown };

/** The key of a hash that opens something at an instant, or null. */
export function keyOfHash(sql: Sql, hash: string, at: Instant): Promise<LiveKeyRow | null> {
  return first(
    sql,
    'SELECT "id", "organisationId", "scope", "name", "lastUsedAt", "boundToCars" FROM "access_key" WHERE "hash" = ? AND "revokedAt" IS NULL AND ("expiresAt" IS NULL OR "expiresAt" > ?)',
    [hash, at],
  );
}

/** Notes when a key was used last. */
export async function noteKeyUse(sql: Sql, id: string, at: Instant): Promise<void> {
  await sql.run('UPDATE "access_key" SET "lastUsedAt" = ? WHERE "id" = ?', [at, id]);
}

/** The cars that a key is bound to. */
export async function carsOfKey(sql: Sql, id: string): Promise<string[]> {
  const rows = await sql.all<{ carId: string }>(
    'SELECT "carId" FROM "key_car" WHERE "accessKeyId" = ?',
    [id],
  );
  return rows.map(({ carId }) => carId);
}

export type KeyRow = Omit<AccessKey, 'hash' | 'boundToCars'> & { readonly boundToCars: boolean };

/** The keys of an organisation, or of all: those that open something first, the newest before older ones. */
export async function keysOf(
  sql: Sql,
  organisationId: string | null,
  most: number,
): Promise<KeyRow[]> {
  const own = organisationId === null ? '' : ' WHERE "organisationId" = ?';
  const rows = await sql.all<Omit<KeyRow, 'boundToCars'> & { boundToCars: unknown }>(
    `SELECT "id", "organisationId", "scope", "createdAt", "revokedAt", "name", "expiresAt", "lastUsedAt", "boundToCars" FROM "access_key"${own} ORDER BY CASE WHEN "revokedAt" IS NULL THEN 0 ELSE 1 END, "id" DESC LIMIT ?`,
    organisationId === null ? [most] : [organisationId, most],
  );
  return rows.map((row) => ({ ...row, boundToCars: flag(row.boundToCars) }));
}

/** The registrations of the cars that keys are bound to, by key. */
export async function carsByKey(
  sql: Sql,
  keyIds: readonly string[],
): Promise<{ accessKeyId: string; registration: string }[]> {
  if (keyIds.length === 0) return [];
  return sql.all(
    `SELECT k."accessKeyId", c."registration" FROM "key_car" k JOIN "car" c ON c."id" = k."carId" WHERE k."accessKeyId" ${AMONG} ORDER BY c."registration"`,
    [keyIds],
  );
}

/** Ends a key, of one organisation or of any; false where there is none that was not ended before. */
export async function endKey(
  sql: Sql,
  id: string,
  organisationId: string | null,
  at: Instant,
): Promise<boolean> {
  const own = organisationId === null ? '' : ' AND "organisationId" = ?';
  const ended = await sql.run(
    `UPDATE "access_key" SET "revokedAt" = ? WHERE "id" = ? AND "revokedAt" IS NULL${own}`,
    organisationId === null ? [at, id] : [at, id, organisationId],
  );
  return ended > 0;
}

/** The cars of an organisation with these registrations, told apart by letters and digits alone. */
export function carsRegistered(
  sql: Sql,
  organisationId: string,
): Promise<{ id: string; registration: string }[]> {
  return sql.all('SELECT "id", "registration" FROM "car" WHERE "organisationId" = ?', [
    organisationId,
  ]);
}
