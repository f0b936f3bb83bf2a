import type { Car, Top } from '../generated/sqlite/client.ts';
import type { LatestReading, VisitDone } from '../../domain/lubrication/look-again.ts';
import type { Sql } from '../database/sql.ts';
import { first, flag, padded } from '../database/sql.ts';

/** What a top's lubrication came to. */
export type LubricationColumns = Pick<Top, 'lubricatedOn' | 'intervalMonths' | 'because' | 'dueOn'>;

/** A top on a car with how the car is kept. */
export type KeptTop = Pick<Top, 'id' | 'fittedOn'> &
  LubricationColumns &
  Pick<Car, 'place' | 'salt' | 'use' | 'foldsPerYear' | 'unmovedDays'>;

/** The last day on which a top was oiled, or null. */
export async function lubricatedLastOn(sql: Sql, topId: string): Promise<string | null> {
  const last = await first<{ doneOn: string | null }>(
    sql,
    `SELECT MAX("doneOn") AS "doneOn" FROM "visit" WHERE "topId" = ? AND "state" = 'done' AND "kind" = 'lubrication'`,
    [topId],
  );
  return last?.doneOn ?? null;
}

/** Stores when a top was oiled last and is due next. */
export async function storeLubrication(
  sql: Sql,
  topId: string,
  { lubricatedOn, intervalMonths, because, dueOn }: LubricationColumns,
): Promise<void> {
  await sql.run(
    'UPDATE "top" SET "lubricatedOn" = ?, "intervalMonths" = ?, "because" = ?, "dueOn" = ? WHERE "id" = ?',
    [lubricatedOn, intervalMonths, because, dueOn, topId],
  );
}

/** The tops on an organisation's cars with how those are kept. */
export function keptTops(sql: Sql, organisationId: string): Promise<KeptTop[]> {
  return sql.all(
    `SELECT t."id", t."fittedOn", t."lubricatedOn", t."intervalMonths", t."because", t."dueOn", c."place", c."salt", c."use", c."foldsPerYear", c."unmovedDays" FROM "top" t JOIN "car" c ON c."id" = t."carId" WHERE t."organisationId" = ? AND t."retiredOn" IS NULL`,
    [organisationId],
  );
}

/** The tops of an organisation with a day booked for their oil. */
export async function bookedForOil(sql: Sql, organisationId: string): Promise<ReadonlySet<string>> {
  const rows = await sql.all<{ topId: string }>(
    `SELECT DISTINCT "topId" FROM "visit" WHERE "organisationId" = ? AND "state" = 'booked' AND "kind" = 'lubrication'`,
    [organisationId],
  );
  return new Set(rows.map(({ topId }) => topId));
}

const TOPS_AT_ONCE = 500;

/** Stores new intervals and due days of many tops, some hundreds a statement. */
export async function storeIntervals(
  sql: Sql,
  tops: readonly Pick<Top, 'id' | 'intervalMonths' | 'because' | 'dueOn'>[],
): Promise<void> {
  for (let start = 0; start < tops.length; start += TOPS_AT_ONCE) {
    const part = padded(tops.slice(start, start + TOPS_AT_ONCE));
    await sql.run(
      `WITH "v"("id", "months", "because", "due") AS (VALUES ${part.map(() => '(?, CAST(? AS INTEGER), ?, ?)').join(', ')})
       UPDATE "top" SET "intervalMonths" = "v"."months", "because" = "v"."because", "dueOn" = "v"."due" FROM "v" WHERE "top"."id" = "v"."id"`,
      part.flatMap(({ id, intervalMonths, because, dueOn }) => [
        id,
        intervalMonths,
        because,
        dueOn,
      ]),
    );
  }
}

/**
 * What was read at the joints of a top's frame. A frame outlives its tops: on the top that is on the car count
 * the readings of all its present joints, on one that was taken off those until then.
 */
const READ_ON_FRAME = `"top" t JOIN "pivot" p ON p."carId" = t."carId" JOIN "reading" r ON r."pivotId" = p."id" JOIN "visit" v ON v."id" = r."visitId" AND v."state" = 'done' AND ((t."retiredOn" IS NULL AND p."retiredOn" IS NULL) OR r."doneOn" <= t."retiredOn")`;

/**
 * Of one top, or of all that are on an organisation's cars, those with a pivot whose latest reading found it
 * stiff or short of washers. What was repaired on that visit is so no longer.
 */
export async function stiffOrMissing(
  sql: Sql,
  whose: { readonly topId: string } | { readonly organisationId: string },
): Promise<ReadonlySet<string>> {
  const [condition, value] =
    'topId' in whose
      ? ['t."id" = ?', whose.topId]
      : ['t."organisationId" = ? AND t."retiredOn" IS NULL', whose.organisationId];
  const rows = await sql.all<{ topId: string }>(
    `SELECT DISTINCT "topId" FROM (
       SELECT t."id" AS "topId", r."state", r."repaired", r."washersPresent", p."washersExpected",
              ROW_NUMBER() OVER (PARTITION BY t."id", r."pivotId" ORDER BY r."doneOn" DESC, r."id" DESC) AS "nth"
       FROM ${READ_ON_FRAME}
       WHERE ${condition}) "latest"
     WHERE "nth" = 1 AND NOT "repaired" AND ("state" = 'stiff' OR "washersPresent" < "washersExpected")`,
    [value],
  );
  return new Set(rows.map(({ topId }) => topId));
}

/** What the latest reading of each joint of a top's frame says, with the visits of that frame that took place. */
export async function lookFacts(
  sql: Sql,
  topId: string,
): Promise<{ latest: LatestReading[]; visits: VisitDone[] }> {
  const readings = await sql.all<{ doneOn: string; state: string; repaired: unknown }>(
    `SELECT "doneOn", "state", "repaired" FROM (
       SELECT r."doneOn", r."state", r."repaired",
              ROW_NUMBER() OVER (PARTITION BY r."pivotId" ORDER BY r."doneOn" DESC, r."id" DESC) AS "nth"
       FROM ${READ_ON_FRAME} WHERE t."id" = ?) "latest"
     WHERE "nth" = 1`,
    [topId],
  );
  const visits = await sql.all<{ kind: string; doneOn: string; readings: number }>(
    `SELECT v."kind", v."doneOn", (SELECT COUNT(*) FROM "reading" r WHERE r."visitId" = v."id") AS "readings" FROM "top" t JOIN "visit" v ON v."carId" = t."carId" WHERE t."id" = ? AND v."state" = 'done' AND v."kind" IN ('look', 'repair') AND (t."retiredOn" IS NULL OR v."doneOn" <= t."retiredOn")`,
    [topId],
  );
  return {
    latest: readings.map((row) => ({ ...row, repaired: flag(row.repaired) })),
    visits: visits.map(({ kind, doneOn, readings: n }) => ({ kind, doneOn, named: n > 0 })),
  };
}

/** Stores after which visit the joints of a top want to be looked at again; null for none. */
export async function storeLookAfter(sql: Sql, topId: string, day: string | null): Promise<void> {
  await sql.run('UPDATE "top" SET "lookAfterOn" = ? WHERE "id" = ?', [day, topId]);
}
