import type { Topic } from '../../domain/round/letter-kind.ts';
import type { Car, ClubLetter, Owner } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first, insertRows } from '../database/sql.ts';

export type ClubLetterRow = ClubLetter;

export async function insertClubLetter(sql: Sql, row: ClubLetterRow): Promise<void> {
  await insertRows(sql, 'club_letter', [row]);
}

/** The letters of a club, the newest first; those that were dropped as drafts not. */
export function clubLettersOf(sql: Sql, organisationId: string): Promise<ClubLetterRow[]> {
  return sql.all(
    'SELECT * FROM "club_letter" WHERE "organisationId" = ? AND ("sentAt" IS NOT NULL OR "withdrawnAt" IS NULL) ORDER BY "createdAt" DESC, "id" DESC',
    [organisationId],
  );
}

export function clubLetterNamed(
  sql: Sql,
  organisationId: string,
  id: string,
): Promise<ClubLetterRow | null> {
  return first(sql, 'SELECT * FROM "club_letter" WHERE "organisationId" = ? AND "id" = ?', [
    organisationId,
    id,
  ]);
}

/** Changes a letter of the club as it stood at its version; none where somebody was quicker. */
export async function changeClubLetterRow(
  sql: Sql,
  { id, version }: Pick<ClubLetterRow, 'id' | 'version'>,
  to: Pick<ClubLetterRow, 'subject' | 'text' | 'sentAt' | 'withdrawnAt'>,
): Promise<{ readonly count: number }> {
  const count = await sql.run(
    'UPDATE "club_letter" SET "subject" = ?, "text" = ?, "sentAt" = ?, "withdrawnAt" = ?, "version" = "version" + 1 WHERE "id" = ? AND "version" = ?',
    [to.subject, to.text, to.sentAt, to.withdrawnAt, id, version],
  );
  return { count };
}

export type MemberAddressRow = Pick<Owner, 'id' | 'name' | 'addressHash'>;

/** The members of a club with the hashes of their addresses, by name. */
export function memberAddresses(sql: Sql, organisationId: string): Promise<MemberAddressRow[]> {
  return sql.all(
    'SELECT "id", "name", "addressHash" FROM "owner" WHERE "organisationId" = ? AND "erasedAt" IS NULL ORDER BY "name", "id"',
    [organisationId],
  );
}

/** The cars of a club with whose they are. */
export function carsOfMembers(
  sql: Sql,
  organisationId: string,
): Promise<Pick<Car, 'id' | 'ownerId'>[]> {
  return sql.all(
    'SELECT "id", "ownerId" FROM "car" WHERE "organisationId" = ? AND "ownerId" IS NOT NULL ORDER BY "id"',
    [organisationId],
  );
}

/** What was said of one topic at all addresses of an organisation, oldest first. */
export function consentsTo(
  sql: Sql,
  organisationId: string,
  topic: Topic,
): Promise<{ addressHash: string; given: unknown; by: string }[]> {
  return sql.all(
    'SELECT "addressHash", "given", "by" FROM "consent_entry" WHERE "organisationId" = ? AND "topic" = ? ORDER BY "at", "id"',
    [organisationId, topic],
  );
}

/** The letters of the club of which a copy waits for a member. */
export async function clubLettersWaiting(sql: Sql, ownerId: string): Promise<string[]> {
  const rows = await sql.all<{ key: string }>(
    `SELECT o."key" FROM "letter_occasion" o JOIN "letter" l ON l."id" = o."letterId" WHERE l."ownerId" = ? AND o."kind" = 'club-letter' AND l."state" IN ('planned', 'sending') ORDER BY l."id"`,
    [ownerId],
  );
  return [...new Set(rows.flatMap(({ key }) => key.split(':')[1] ?? []))];
}

/** The letters of the club whose copy to an owner was cancelled for what became of a car. */
export async function clubLettersLost(
  sql: Sql,
  { ownerId, carId, why }: { ownerId: string; carId: string; why: string },
): Promise<string[]> {
  const rows = await sql.all<{ key: string }>(
    `SELECT o."key" FROM "letter_occasion" o JOIN "letter" l ON l."id" = o."letterId" WHERE l."ownerId" = ? AND o."carId" = ? AND o."kind" = 'club-letter' AND l."state" = 'cancelled' AND l."cancelledWhy" = ? ORDER BY l."id"`,
    [ownerId, carId, why],
  );
  return [...new Set(rows.flatMap(({ key }) => key.split(':')[1] ?? []))];
}

/** The letters that were written of one letter of the club, by whom they are to and how they stand. */
export function copiesOf(
  sql: Sql,
  organisationId: string,
  id: string,
): Promise<{ letterId: string; ownerId: string; state: string }[]> {
  return sql.all(
    `SELECT DISTINCT l."id" AS "letterId", l."ownerId", l."state" FROM "letter_occasion" o JOIN "letter" l ON l."id" = o."letterId" WHERE o."organisationId" = ? AND o."key" LIKE 'club-letter:' || ? || ':%' AND l."state" <> 'cancelled' ORDER BY l."id"`,
    [organisationId, id],
  );
}
