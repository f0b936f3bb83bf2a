import { carIdsOf, holdCars } from '../database/car-lock.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Topic } from '../../domain/round/letter-kind.ts';
import { LETTER_KINDS, topicOf } from '../../domain/round/letter-kind.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, first, forUpdate, insertRows } from '../database/sql.ts';

/** Who agreed to a topic or refused it, when and in which words. Only ever added to. */
export type ConsentRow = {
  id: string;
  organisationId: string;
  addressHash: string;
  ownerId: string | null;
  topic: string;
  given: boolean;
  at: Instant;
  by: string;
  words: string;
};

/** The address that a consent is about: kept by its hash, so that it outlives the owner. */
export interface ConsentAddress {
  readonly organisationId: string;
  readonly addressHash: string;
}

/** What was said about an address, oldest first. */
export function consentEntries(sql: Sql, address: ConsentAddress): Promise<ConsentRow[]> {
  return sql.all(
    'SELECT * FROM "consent_entry" WHERE "organisationId" = ? AND "addressHash" = ? ORDER BY "at", "id"',
    [address.organisationId, address.addressHash],
  );
}

export async function appendConsent(sql: Sql, rows: readonly ConsentRow[]): Promise<void> {
  await insertRows(sql, 'consent_entry', rows);
}

/** The topics that are refused for an address. */
export async function refusedTopics(sql: Sql, address: ConsentAddress): Promise<Topic[]> {
  return readTopics(sql, address, '');
}

/** The same, with the address's row made where it is missing and locked until the transaction ends. */
export async function lockRefusedTopics(sql: Sql, address: ConsentAddress): Promise<Topic[]> {
  await sql.run(
    'INSERT INTO "address_standing" ("organisationId", "addressHash") VALUES (?, ?) ON CONFLICT DO NOTHING',
    [address.organisationId, address.addressHash],
  );
  return readTopics(sql, address, forUpdate(sql));
}

async function readTopics(sql: Sql, address: ConsentAddress, lock: string): Promise<Topic[]> {
  const row = await first<{ refusedTopics: string }>(
    sql,
    `SELECT "refusedTopics" FROM "address_standing" WHERE "organisationId" = ? AND "addressHash" = ?${lock}`,
    [address.organisationId, address.addressHash],
  );
  return JSON.parse(row?.refusedTopics ?? '[]') as Topic[];
}

export async function storeRefusedTopics(
  sql: Sql,
  address: ConsentAddress,
  topics: readonly Topic[],
): Promise<void> {
  await sql.run(
    'UPDATE "address_standing" SET "refusedTopics" = ? WHERE "organisationId" = ? AND "addressHash" = ?',
    [JSON.stringify(topics), address.organisationId, address.addressHash],
  );
}

/** Letters to an address that say something of these topics and have not arrived yet. */
export async function openLettersOfTopics(
  sql: Sql,
  address: ConsentAddress,
  topics: readonly Topic[],
): Promise<string[]> {
  const kinds = LETTER_KINDS.filter((kind) => topics.some((topic) => topicOf(kind) === topic));
  const rows = await sql.all<{ id: string }>(
    `SELECT l."id" FROM "letter" l WHERE l."organisationId" = ? AND l."addressHash" = ? AND l."state" IN ('planned', 'sending') AND EXISTS (SELECT 1 FROM "letter_occasion" o WHERE o."letterId" = l."id" AND o."kind" ${AMONG})`,
    [address.organisationId, address.addressHash, kinds],
  );
  return rows.map(({ id }) => id);
}

/** The cars of whoever has this address, held as {@link holdCars} holds them. */
export async function lockCarsOfAddress(sql: Sql, address: ConsentAddress): Promise<string[]> {
  const owners = await sql.all<{ id: string }>(
    'SELECT "id" FROM "owner" WHERE "organisationId" = ? AND "addressHash" = ?',
    [address.organisationId, address.addressHash],
  );
  const ownerIds = owners.map(({ id }) => id);
  await holdCars(sql, [], ownerIds);
  return carIdsOf(sql, ownerIds);
}
