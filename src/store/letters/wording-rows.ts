import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';

/** One passage of one kind of letter in an organisation's own words. */
export interface WordingRow {
  organisationId: string;
  kind: string;
  language: string;
  slot: string;
  text: string;
  changedAt: Instant;
}

/** The own wordings of an organisation, or of all where it is null. Few have any. */
export function wordingRows(sql: Sql, organisationId: string | null): Promise<WordingRow[]> {
  const own = organisationId === null ? '' : ' WHERE "organisationId" = ?';
  return sql.all(
    `SELECT * FROM "wording"${own} ORDER BY "organisationId", "kind", "language", "slot"`,
    organisationId === null ? [] : [organisationId],
  );
}

/** Puts a wording in the place of the one before. */
export async function storeWording(sql: Sql, row: WordingRow): Promise<void> {
  await sql.run(
    'INSERT INTO "wording" ("organisationId", "kind", "language", "slot", "text", "changedAt") VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT ("organisationId", "kind", "language", "slot") DO UPDATE SET "text" = excluded."text", "changedAt" = excluded."changedAt"',
    [row.organisationId, row.kind, row.language, row.slot, row.text, row.changedAt],
  );
}

/** Removes a wording; false where there was none. */
export async function removeWordingRow(
  sql: Sql,
  { organisationId, kind, language, slot }: Omit<WordingRow, 'text' | 'changedAt'>,
): Promise<boolean> {
  const gone = await sql.run(
    'DELETE FROM "wording" WHERE "organisationId" = ? AND "kind" = ? AND "language" = ? AND "slot" = ?',
    [organisationId, kind, language, slot],
  );
  return gone > 0;
}

/** The pictures at the head of letters, of one organisation or of all that have one. */
export function logoRows(
  sql: Sql,
  organisationId: string | null,
): Promise<{ id: string; logo: string }[]> {
  return organisationId === null
    ? sql.all('SELECT "id", "logo" FROM "organisation" WHERE "logo" IS NOT NULL')
    : sql.all('SELECT "id", "logo" FROM "organisation" WHERE "id" = ? AND "logo" IS NOT NULL', [
        organisationId,
      ]);
}
