import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { PositionEntry } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, first, insertRows } from '../database/sql.ts';

interface Counted {
  readonly n: number;
}

/** Every organisation with its own figures. */
export function organisationsWithRules(sql: Sql): Promise<{ id: string; ownRules: string }[]> {
  return sql.all('SELECT "id", "ownRules" FROM "organisation" ORDER BY "id"');
}

/** Cars behind one, by id, with more than one entry before an instant. */
export async function carsWithOldEntries(
  sql: Sql,
  organisationId: string,
  cutoff: Instant,
  { behind, most }: { readonly behind: string; readonly most: number },
): Promise<string[]> {
  const rows = await sql.all<{ carId: string }>(
    'SELECT "carId" FROM "position_entry" WHERE "organisationId" = ? AND "at" < ? AND "carId" > ? GROUP BY "carId" HAVING COUNT(*) > 1 ORDER BY "carId" LIMIT ?',
    [organisationId, cutoff, behind, most],
  );
  return rows.map(({ carId }) => carId);
}

export type LogRow = Pick<
  PositionEntry,
  'id' | 'carId' | 'position' | 'at' | 'damp' | 'withdrawnAt'
>;

/** The whole position logs of some cars. */
export function logsOf(sql: Sql, carIds: readonly string[]): Promise<LogRow[]> {
  return sql.all(
    `SELECT "id", "carId", "position", "at", "damp", "withdrawnAt" FROM "position_entry" WHERE "carId" ${AMONG} ORDER BY "carId", "at", "id"`,
    [carIds],
  );
}

/** Takes entries out of the position log for good. */
export function dropEntries(sql: Sql, ids: readonly string[]): Promise<number> {
  return sql.run(`DELETE FROM "position_entry" WHERE "id" ${AMONG}`, [ids]);
}

const OLD_LETTERS = `"letter" l JOIN "letter_body" b ON b."letterId" = l."id" WHERE l."organisationId" = ? AND l."state" IN ('delivered', 'failed', 'cancelled') AND COALESCE(l."settledAt", l."plannedAt") < ? AND (b."text" <> '' OR b."html" <> '')`;

/** Letters that left or were cancelled before an instant and still say what they said. */
export async function countOldLetters(
  sql: Sql,
  organisationId: string,
  cutoff: Instant,
): Promise<number> {
  const row = await first<Counted>(sql, `SELECT COUNT(*) AS "n" FROM ${OLD_LETTERS}`, [
    organisationId,
    cutoff,
  ]);
  return row?.n ?? 0;
}

/** Empties some of them: that a letter went, to whom and about what, stays. */
export async function emptyOldLetters(
  sql: Sql,
  organisationId: string,
  cutoff: Instant,
  most: number,
): Promise<number> {
  const rows = await sql.all<{ id: string }>(
    `SELECT l."id" FROM ${OLD_LETTERS} ORDER BY l."id" LIMIT ?`,
    [organisationId, cutoff, most],
  );
  const ids = rows.map(({ id }) => id);
  await sql.run(`UPDATE "letter" SET "response" = NULL WHERE "id" ${AMONG}`, [ids]);
  return sql.run(
    `UPDATE "letter_body" SET "text" = '', "html" = '', "calendar" = NULL WHERE "letterId" ${AMONG} AND ("text" <> '' OR "html" <> '')`,
    [ids],
  );
}

// A car is out of care when its owner was erased, or when every top that it had is retired.
const PAST_CARE = `v."organisationId" = ? AND NOT EXISTS (SELECT 1 FROM "top" t WHERE t."carId" = v."carId" AND ((t."retiredOn" IS NULL AND NOT EXISTS (SELECT 1 FROM "owner" w WHERE w."id" = c."ownerId" AND w."erasedAt" < ?)) OR t."retiredOn" >= ?)) AND NOT EXISTS (SELECT 1 FROM "visit" n WHERE n."carId" = v."carId" AND (COALESCE(n."doneOn", n."plannedOn") >= ? OR n."createdAt" >= ?))`;

/** Visits of cars that are out of care, where nothing was done or planned since an instant. */
export async function countPastVisits(
  sql: Sql,
  organisationId: string,
  cutoff: Instant,
): Promise<number> {
  const row = await first<Counted>(
    sql,
    `SELECT COUNT(*) AS "n" FROM "visit" v JOIN "car" c ON c."id" = v."carId" WHERE ${PAST_CARE}`,
    pastValues(organisationId, cutoff),
  );
  return row?.n ?? 0;
}

/** Takes some of them out for good, with their readings, findings and parts. */
export async function dropPastVisits(
  sql: Sql,
  organisationId: string,
  cutoff: Instant,
  most: number,
): Promise<number> {
  const rows = await sql.all<{ id: string }>(
    `SELECT v."id" FROM "visit" v JOIN "car" c ON c."id" = v."carId" WHERE ${PAST_CARE} ORDER BY v."carId", v."id" LIMIT ?`,
    [...pastValues(organisationId, cutoff), most],
  );
  const ids = rows.map(({ id }) => id);
  await sql.run(`DELETE FROM "reading" WHERE "visitId" ${AMONG}`, [ids]);
  await sql.run(`DELETE FROM "part_use" WHERE "visitId" ${AMONG}`, [ids]);
  await sql.run(
    `DELETE FROM "photo_data" WHERE "photoId" IN (SELECT "id" FROM "photo" WHERE "visitId" ${AMONG})`,
    [ids],
  );
  await sql.run(`DELETE FROM "photo" WHERE "visitId" ${AMONG}`, [ids]);
  await sql.run(`DELETE FROM "finding" WHERE "visitId" ${AMONG}`, [ids]);
  return sql.run(`DELETE FROM "visit" WHERE "id" ${AMONG}`, [ids]);
}

function pastValues(organisationId: string, cutoff: Instant): string[] {
  const day: Day = cutoff.slice(0, 10);
  return [organisationId, cutoff, day, day, cutoff];
}

const OLD_SIGN_INS = '"organisationId" = ? AND "at" < ?';

export async function countOldSignIns(
  sql: Sql,
  organisationId: string,
  cutoff: Instant,
): Promise<number> {
  const row = await first<Counted>(
    sql,
    `SELECT COUNT(*) AS "n" FROM "sign_in" WHERE ${OLD_SIGN_INS}`,
    [organisationId, cutoff],
  );
  return row?.n ?? 0;
}

export function dropOldSignIns(
  sql: Sql,
  organisationId: string,
  cutoff: Instant,
  most: number,
): Promise<number> {
  return sql.run(
    `DELETE FROM "sign_in" WHERE "id" IN (SELECT "id" FROM "sign_in" WHERE ${OLD_SIGN_INS} ORDER BY "id" LIMIT ?)`,
    [organisationId, cutoff, most],
  );
}

/** Tries for addresses that nobody has are in nobody's log, and go by themselves. */
export function dropNobodysTries(sql: Sql, cutoff: Instant, most: number): Promise<number> {
  return sql.run(
    'DELETE FROM "sign_in" WHERE "id" IN (SELECT "id" FROM "sign_in" WHERE "organisationId" IS NULL AND "at" < ? ORDER BY "id" LIMIT ?)',
    [cutoff, most],
  );
}

// That a car changed hands says whose its records are, and stays.
const OLD_TRAIL = `"organisationId" = ? AND "at" < ? AND NOT ("kind" = 'car' AND COALESCE("was", '') LIKE '%"ownerId"%')`;

export async function countOldTrail(
  sql: Sql,
  organisationId: string,
  cutoff: Instant,
): Promise<number> {
  const row = await first<Counted>(sql, `SELECT COUNT(*) AS "n" FROM "trail" WHERE ${OLD_TRAIL}`, [
    organisationId,
    cutoff,
  ]);
  return row?.n ?? 0;
}

export function dropOldTrail(
  sql: Sql,
  organisationId: string,
  cutoff: Instant,
  most: number,
): Promise<number> {
  return sql.run(
    `DELETE FROM "trail" WHERE "id" IN (SELECT "id" FROM "trail" WHERE ${OLD_TRAIL} ORDER BY "id" LIMIT ?)`,
    [organisationId, cutoff, most],
  );
}

/** Notes in the trail how many records of a kind went, and nothing of what stood in them. */
export async function noteForgotten(
  sql: Sql,
  entry: {
    readonly id: string;
    readonly organisationId: string;
    readonly at: Instant;
    readonly what: string;
    readonly count: number;
  },
): Promise<void> {
  const { id, organisationId, at, what } = entry;
  await insertRows(sql, 'trail', [
    {
      id,
      organisationId,
      at,
      author: 'foldkeep',
      authorName: '',
      kind: 'retention',
      recordId: what,
      action: 'removed',
      carId: null,
      ownerId: null,
      visitId: null,
      personId: null,
      was: JSON.stringify({ count: entry.count }),
      becomes: null,
    },
  ]);
}
