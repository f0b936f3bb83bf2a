import type { ColumnMeaning, ImportRun } from '../generated/sqlite/client.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';
import { first, insertRows } from '../database/sql.ts';

/** A table that was handed in, with what came of it. */
export type ImportRunRow = ImportRun;

/** Keeps a table that was handed in. */
export async function insertRun(sql: Sql, row: ImportRunRow): Promise<void> {
  await insertRows(sql, 'import_run', [row]);
}

/** Forgets tables that nobody took in by `before`, and what stood before those taken in until then. */
export async function forgetRunsBefore(sql: Sql, before: Instant): Promise<void> {
  await sql.run(`DELETE FROM "import_run" WHERE "state" = 'open' AND "createdAt" < ?`, [before]);
  await sql.run('UPDATE "import_run" SET "made" = NULL WHERE "made" IS NOT NULL AND "doneAt" < ?', [
    before,
  ]);
}

/** A run of the organisation; null where it has none of this id. */
export function runOf(sql: Sql, organisationId: string, id: string): Promise<ImportRunRow | null> {
  return first(sql, 'SELECT * FROM "import_run" WHERE "id" = ? AND "organisationId" = ?', [
    id,
    organisationId,
  ]);
}

/** The newest runs of an organisation that came to something, the newest first. */
export function newestRuns(
  sql: Sql,
  organisationId: string,
  limit: number,
): Promise<Pick<ImportRunRow, 'id' | 'fileName' | 'state' | 'doneAt' | 'undoneAt'>[]> {
  return sql.all(
    `SELECT "id", "fileName", "state", "doneAt", "undoneAt" FROM "import_run" WHERE "organisationId" = ? AND "state" <> 'open' ORDER BY "doneAt" DESC, "id" DESC LIMIT ?`,
    [organisationId, limit],
  );
}

/** Notes what the columns mean; false where it was taken in meanwhile. */
export async function storeSettings(sql: Sql, id: string, settings: string): Promise<boolean> {
  const changed = await sql.run(
    `UPDATE "import_run" SET "settings" = ? WHERE "id" = ? AND "state" = 'open'`,
    [settings, id],
  );
  return changed === 1;
}

/** Takes a run for oneself: of two that want to take it in, one gets true. */
export async function claimRun(sql: Sql, id: string, at: Instant): Promise<boolean> {
  const changed = await sql.run(
    `UPDATE "import_run" SET "state" = 'done', "doneAt" = ? WHERE "id" = ? AND "state" = 'open'`,
    [at, id],
  );
  return changed === 1;
}

/** Notes what a run made, and forgets its lines. */
export async function settleRun(
  sql: Sql,
  id: string,
  came: { readonly tally: string; readonly made: string },
): Promise<void> {
  await sql.run('UPDATE "import_run" SET "tally" = ?, "made" = ?, "lines" = NULL WHERE "id" = ?', [
    came.tally,
    came.made,
    id,
  ]);
}

/** Notes what is left of what a run made; false where it is not known any more. */
export async function storeMade(sql: Sql, id: string, made: string): Promise<boolean> {
  const changed = await sql.run(
    `UPDATE "import_run" SET "made" = ? WHERE "id" = ? AND "state" = 'done' AND "made" IS NOT NULL`,
    [made, id],
  );
  return changed === 1;
}

/** Marks a run as taken back; false where it was not done, or taken back before. */
export async function markUndone(sql: Sql, id: string, at: Instant): Promise<boolean> {
  const changed = await sql.run(
    `UPDATE "import_run" SET "state" = 'undone', "undoneAt" = ?, "made" = NULL WHERE "id" = ? AND "state" = 'done'`,
    [at, id],
  );
  return changed === 1;
}

/** Forgets what runs of an organisation hold of people: lines, and what stood before a change. */
export async function forgetRuns(sql: Sql, organisationId: string): Promise<void> {
  await sql.run(`DELETE FROM "import_run" WHERE "organisationId" = ? AND "state" = 'open'`, [
    organisationId,
  ]);
  await sql.run(
    'UPDATE "import_run" SET "lines" = NULL, "made" = NULL WHERE "organisationId" = ?',
    [organisationId],
  );
}

/** What was said of columns with these names; null where nothing was. */
export async function meaningOf(
  sql: Sql,
  organisationId: string,
  headerHash: string,
): Promise<string | null> {
  const row = await first<Pick<ColumnMeaning, 'settings'>>(
    sql,
    'SELECT "settings" FROM "column_meaning" WHERE "organisationId" = ? AND "headerHash" = ?',
    [organisationId, headerHash],
  );
  return row?.settings ?? null;
}

/** Remembers what columns mean. */
export async function rememberMeaning(sql: Sql, row: ColumnMeaning): Promise<void> {
  await sql.run(
    'INSERT INTO "column_meaning" ("organisationId", "headerHash", "settings", "changedAt") VALUES (?, ?, ?, ?) ON CONFLICT ("organisationId", "headerHash") DO UPDATE SET "settings" = excluded."settings", "changedAt" = excluded."changedAt"',
    [row.organisationId, row.headerHash, row.settings, row.changedAt],
  );
}
