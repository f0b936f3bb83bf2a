import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, first } from '../database/sql.ts';

/** What stands where an address stood; nothing can be sent to it (RFC 2606). */
export const ERASED_ADDRESS = 'erased@example.invalid';
/** What stands where a name or a subject stood. */
export const ERASED = 'erased';

/** Whose owner this is and whether erased; null where there is none of this id. */
export function ownerOfAny(
  sql: Sql,
  id: string,
): Promise<{ organisationId: string; erasedAt: Instant | null } | null> {
  return first(sql, 'SELECT "organisationId", "erasedAt" FROM "owner" WHERE "id" = ?', [id]);
}

/** Every owner who was erased, of all organisations. */
export async function erasedOwners(sql: Sql): Promise<string[]> {
  const rows = await sql.all<{ id: string }>(
    'SELECT "id" FROM "owner" WHERE "erasedAt" IS NOT NULL ORDER BY "id"',
  );
  return rows.map(({ id }) => id);
}

/** Under which names and addresses letters were written to an owner, before they are erased. */
export function writtenTo(
  sql: Sql,
  ownerId: string,
): Promise<{ toName: string; toAddress: string; addressHash: string }[]> {
  return sql.all(
    'SELECT DISTINCT "toName", "toAddress", "addressHash" FROM "letter" WHERE "ownerId" = ? AND "toAddress" <> ?',
    [ownerId, ERASED_ADDRESS],
  );
}

/**
 * Takes out of letters what was said, to whom, and what mail servers answered, for they quote the
 * address. The hash of the address stays: a complaint that comes later must still find it.
 */
export async function eraseLetters(sql: Sql, ownerId: string): Promise<void> {
  await sql.run(
    `UPDATE "letter" SET "toName" = ?, "toAddress" = ?, "subject" = ?, "stopUrl" = NULL, "response" = NULL, "fault" = NULL WHERE "ownerId" = ?`,
    [ERASED, ERASED_ADDRESS, ERASED, ownerId],
  );
  await sql.run(
    `UPDATE "letter_body" SET "text" = '', "html" = '', "calendar" = NULL WHERE "letterId" IN (SELECT "id" FROM "letter" WHERE "ownerId" = ?)`,
    [ownerId],
  );
}

/** Notes of calls are about the person; that there was a call, and its outcome, is about the car. */
export async function eraseCallNotes(sql: Sql, ownerId: string): Promise<void> {
  await sql.run('UPDATE "call_entry" SET "notes" = NULL WHERE "ownerId" = ?', [ownerId]);
}

/** Ends every link of an owner, those that stop letters too: nothing is written any more. */
export async function endLinks(sql: Sql, ownerId: string, at: Instant): Promise<void> {
  await sql.run('UPDATE "link" SET "revokedAt" = ? WHERE "ownerId" = ? AND "revokedAt" IS NULL', [
    at,
    ownerId,
  ]);
}

/** Takes out what people of the shop wrote when they found an address to be good after all. */
export async function eraseStandingWords(
  sql: Sql,
  organisationId: string,
  addressHashes: readonly string[],
): Promise<void> {
  await sql.run(
    `UPDATE "address_standing" SET "clearedWords" = NULL, "clearedAt" = NULL WHERE "organisationId" = ? AND "addressHash" ${AMONG}`,
    [organisationId, addressHashes],
  );
}

/** A text that people wrote freely and in which somebody may be named. */
export interface FreeText {
  readonly table: 'visit' | 'finding' | 'photo' | 'estimate' | 'estimate_line' | 'consent_entry';
  readonly column: string;
  readonly id: string;
  readonly text: string;
}

/**
 * The free texts in which an owner may be named: of the visits of every car that was ever written or
 * rung about, and of the record of consent.
 */
export async function textsAbout(
  sql: Sql,
  owner: { readonly id: string; readonly organisationId: string },
  addressHashes: readonly string[],
): Promise<FreeText[]> {
  const { id, organisationId } = owner;
  const cars =
    'SELECT "id" FROM "car" WHERE "ownerId" = ? UNION SELECT "carId" FROM "letter_occasion" WHERE "ownerId" = ? UNION SELECT "carId" FROM "call_entry" WHERE "ownerId" = ?';
  const whose = [organisationId, id, id, id];
  const visits = await sql.all<{ id: string; notes: string }>(
    `SELECT "id", "notes" FROM "visit" WHERE "notes" IS NOT NULL AND "organisationId" = ? AND "carId" IN (${cars})`,
    whose,
  );
  const findings = await sql.all<{ id: string; text: string; advised: string | null }>(
    `SELECT f."id", f."text", f."advised" FROM "finding" f JOIN "visit" v ON v."id" = f."visitId" WHERE v."organisationId" = ? AND v."carId" IN (${cars})`,
    whose,
  );
  const photos = await sql.all<{ id: string; words: string }>(
    `SELECT "id", "words" FROM "photo" WHERE "words" IS NOT NULL AND "organisationId" = ? AND "carId" IN (${cars})`,
    whose,
  );
  const estimates = await sql.all<{ id: string; words: string }>(
    `SELECT "id", "words" FROM "estimate" WHERE "words" IS NOT NULL AND "organisationId" = ? AND "carId" IN (${cars})`,
    whose,
  );
  const lines = await sql.all<{ id: string; text: string }>(
    `SELECT l."id", l."text" FROM "estimate_line" l JOIN "estimate" e ON e."id" = l."estimateId" WHERE e."organisationId" = ? AND e."carId" IN (${cars})`,
    whose,
  );
  const consents = await sql.all<{ id: string; words: string }>(
    `SELECT "id", "words" FROM "consent_entry" WHERE "organisationId" = ? AND ("ownerId" = ? OR "addressHash" ${AMONG})`,
    [organisationId, id, addressHashes],
  );
  const of = (table: FreeText['table'], column: string, rowId: string, text: string | null) =>
    text === null ? [] : [{ table, column, id: rowId, text }];
  return [
    ...visits.flatMap((row) => of('visit', 'notes', row.id, row.notes)),
    ...findings.flatMap((row) => of('finding', 'text', row.id, row.text)),
    ...findings.flatMap((row) => of('finding', 'advised', row.id, row.advised)),
    ...photos.flatMap((row) => of('photo', 'words', row.id, row.words)),
    ...estimates.flatMap((row) => of('estimate', 'words', row.id, row.words)),
    ...lines.flatMap((row) => of('estimate_line', 'text', row.id, row.text)),
    ...consents.flatMap((row) => of('consent_entry', 'words', row.id, row.words)),
  ];
}

export async function storeText(sql: Sql, { table, column, id, text }: FreeText): Promise<void> {
  await sql.run(`UPDATE "${table}" SET "${column}" = ? WHERE "id" = ?`, [text, id]);
}
