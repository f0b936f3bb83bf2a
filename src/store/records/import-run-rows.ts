import type { ColumnMeaning, ImportRun } from '../generated/sqlite/client.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';
import { first, insertRows, marks } from '../database/sql.ts';

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

/** What a run made, by id. */
export interface MadeIds {
  readonly owners: readonly string[];
  readonly cars: readonly string[];
  readonly tops: readonly string[];
}

/** How many records of each kind stand against taking a run back. */
export interface Touched {
  readonly changed: number;
  readonly visits: number;
  readonly entries: number;
  readonly calls: number;
  readonly offers: number;
  readonly letters: number;
  readonly otherCars: number;
}

const IDS_AT_ONCE = 500;

async function counted(
  ids: readonly string[],
  count: (part: readonly string[]) => Promise<{ n: number | string } | null>,
): Promise<number> {
  let sum = 0;
  for (let start = 0; start < ids.length; start += IDS_AT_ONCE) {
    sum += Number((await count(ids.slice(start, start + IDS_AT_ONCE)))?.n ?? 0);
  }
  return sum;
}

/** What else was done since with the records that a run made. */
export async function touchedSince(sql: Sql, { owners, cars, tops }: MadeIds): Promise<Touched> {
  const changedOwners = await counted(owners, (part) =>
    first(
      sql,
      `SELECT COUNT(*) AS "n" FROM "owner" WHERE "version" > 1 AND "id" IN (${marks(part.length)})`,
      part,
    ),
  );
  const changedCars = await counted(cars, (part) =>
    first(
      sql,
      `SELECT COUNT(*) AS "n" FROM "car" WHERE "version" > 1 AND "id" IN (${marks(part.length)})`,
      part,
    ),
  );
  const changedTops = await counted(tops, (part) =>
    first(
      sql,
      `SELECT COUNT(*) AS "n" FROM "top" WHERE "version" > 1 AND "id" IN (${marks(part.length)})`,
      part,
    ),
  );
  // A top that somebody fitted since on one of these cars is no top of the run.
  const topsThere = await counted(cars, (part) =>
    first(sql, `SELECT COUNT(*) AS "n" FROM "top" WHERE "carId" IN (${marks(part.length)})`, part),
  );
  const carsThere = await counted(owners, (part) =>
    first(
      sql,
      `SELECT COUNT(*) AS "n" FROM "car" WHERE "ownerId" IN (${marks(part.length)})`,
      part,
    ),
  );
  const ownersOfCars = await counted(cars, (part) =>
    first(sql, `SELECT COUNT(*) AS "n" FROM "car" WHERE "id" IN (${marks(part.length)})`, part),
  );
  return {
    changed: changedOwners + changedCars + changedTops + (cars.length - ownersOfCars),
    visits: await counted(cars, (part) =>
      first(
        sql,
        `SELECT COUNT(*) AS "n" FROM "visit" WHERE "carId" IN (${marks(part.length)})`,
        part,
      ),
    ),
    entries: await counted(cars, (part) =>
      first(
        sql,
        `SELECT COUNT(*) AS "n" FROM "position_entry" WHERE "carId" IN (${marks(part.length)})`,
        part,
      ),
    ),
    calls: await counted(cars, (part) =>
      first(
        sql,
        `SELECT COUNT(*) AS "n" FROM "call_entry" WHERE "carId" IN (${marks(part.length)})`,
        part,
      ),
    ),
    offers: await counted(tops, (part) =>
      first(
        sql,
        `SELECT COUNT(*) AS "n" FROM "offer" WHERE "topId" IN (${marks(part.length)})`,
        part,
      ),
    ),
    letters: await counted(owners, (part) =>
      first(
        sql,
        `SELECT COUNT(*) AS "n" FROM "letter" WHERE "state" NOT IN ('planned', 'cancelled') AND "ownerId" IN (${marks(part.length)})`,
        part,
      ),
    ),
    otherCars: Math.max(0, carsThere - cars.length) + Math.max(0, topsThere - tops.length),
  };
}

/** Takes the records of a run out again, with the letters that wait for their owners. */
export async function removeMade(sql: Sql, { owners, cars, tops }: MadeIds): Promise<void> {
  for (const part of parts(owners)) {
    const listed = marks(part.length);
    await sql.run(`DELETE FROM "letter_occasion" WHERE "ownerId" IN (${listed})`, part);
    await sql.run(`DELETE FROM "letter" WHERE "ownerId" IN (${listed})`, part);
    await sql.run(`DELETE FROM "link" WHERE "ownerId" IN (${listed})`, part);
    await sql.run(`DELETE FROM "round_fault" WHERE "ownerId" IN (${listed})`, part);
  }
  for (const part of parts(tops)) {
    await sql.run(`DELETE FROM "top" WHERE "id" IN (${marks(part.length)})`, part);
  }
  for (const part of parts(cars)) {
    const listed = marks(part.length);
    await sql.run(`DELETE FROM "pivot" WHERE "carId" IN (${listed})`, part);
    await sql.run(`DELETE FROM "key_car" WHERE "carId" IN (${listed})`, part);
    await sql.run(`DELETE FROM "car" WHERE "id" IN (${listed})`, part);
  }
  for (const part of parts(owners)) {
    await sql.run(`DELETE FROM "owner" WHERE "id" IN (${marks(part.length)})`, part);
  }
}

function parts(ids: readonly string[]): string[][] {
  const count = Math.ceil(ids.length / IDS_AT_ONCE);
  return Array.from({ length: count }, (_, n) => ids.slice(n * IDS_AT_ONCE, (n + 1) * IDS_AT_ONCE));
}
