import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';
import { first, forUpdate, insertRows } from '../database/sql.ts';

/** An address of an organisation, by its hash. */
export interface Address {
  readonly organisationId: string;
  readonly addressHash: string;
}

/** What is known of an address; JSON is text. */
export interface StandingRow {
  refusedTopics: string;
  deadSince: Instant | null;
  deadWhy: string | null;
  softFailures: string;
  clearedAt: Instant | null;
  clearedWords: string | null;
}

const COLUMNS =
  '"refusedTopics", "deadSince", "deadWhy", "softFailures", "clearedAt", "clearedWords"';

/** The standing of an address, made where it is missing and locked until the transaction ends. */
export async function lockStanding(sql: Sql, address: Address): Promise<StandingRow> {
  const key = [address.organisationId, address.addressHash];
  await sql.run(
    'INSERT INTO "address_standing" ("organisationId", "addressHash") VALUES (?, ?) ON CONFLICT DO NOTHING',
    key,
  );
  const row = await first<StandingRow>(
    sql,
    `SELECT ${COLUMNS} FROM "address_standing" WHERE "organisationId" = ? AND "addressHash" = ?${forUpdate(sql)}`,
    key,
  );
  if (row === null) throw new Error('the standing that was just made is gone');
  return row;
}

export async function storeSoftFailures(
  sql: Sql,
  address: Address,
  failures: readonly object[],
): Promise<void> {
  await sql.run(
    'UPDATE "address_standing" SET "softFailures" = ? WHERE "organisationId" = ? AND "addressHash" = ?',
    [JSON.stringify(failures), address.organisationId, address.addressHash],
  );
}

/** The address takes mail after all. What its reader refused stays refused. */
export async function clearFailures(
  sql: Sql,
  address: Address,
  at: Instant,
  words: string,
): Promise<void> {
  await sql.run(
    `UPDATE "address_standing" SET "deadSince" = NULL, "deadWhy" = NULL, "softFailures" = '[]', "clearedAt" = ?, "clearedWords" = ? WHERE "organisationId" = ? AND "addressHash" = ?`,
    [at, words, address.organisationId, address.addressHash],
  );
}

export interface OwnerStandingRow extends StandingRow {
  ownerId: string;
  name: string;
  email: string;
}

const OWNERS = `SELECT o."id" AS "ownerId", o."name", o."email", ${COLUMNS} FROM "owner" o JOIN "address_standing" s ON s."organisationId" = o."organisationId" AND s."addressHash" = o."addressHash"`;

/** Owners whose address takes no mail, brought mail back, or whose reader refused some of it. */
export function ownersOutOfReach(
  sql: Sql,
  organisationId: string,
  afterId: string,
  limit: number,
): Promise<OwnerStandingRow[]> {
  return sql.all(
    `${OWNERS} WHERE o."organisationId" = ? AND o."id" > ? AND o."erasedAt" IS NULL AND (s."deadSince" IS NOT NULL OR s."refusedTopics" <> '[]' OR s."softFailures" <> '[]') ORDER BY o."id" LIMIT ?`,
    [organisationId, afterId, limit],
  );
}

/** The standing of one owner's present address; null where nothing was ever noted about it. */
export function standingOfOwner(
  sql: Sql,
  organisationId: string,
  ownerId: string,
): Promise<OwnerStandingRow | null> {
  return first(
    sql,
    `${OWNERS} WHERE o."organisationId" = ? AND o."id" = ? AND o."erasedAt" IS NULL`,
    [organisationId, ownerId],
  );
}

/** Notes of an address that nothing is known of yet that letters do not reach it. */
export async function insertDeadAddress(
  sql: Sql,
  address: Address,
  { deadSince, deadWhy }: { readonly deadSince: Instant; readonly deadWhy: string },
): Promise<void> {
  const { organisationId, addressHash } = address;
  await insertRows(sql, 'address_standing', [{ organisationId, addressHash, deadSince, deadWhy }]);
}
