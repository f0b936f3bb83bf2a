import type { DoneVisits, VisitKind } from '../../domain/bench/minutes.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';
import { first, forUpdate, insertRows } from '../database/sql.ts';

export interface DiaryRow {
  timeZone: string;
  ownRules: string;
  organisationVersion: number;
  /** Null until the organisation has set its opening days. */
  weekdays: string | null;
  hours: string | null;
  country: string | null;
  state: string | null;
  region: string | null;
  /** Read with `flag`; null where it has not said. */
  takesBookings: unknown;
  kind: string;
  diaryVersion: number | null;
}

/** When an organisation is open, as far as it has said so; null where there is no organisation. */
export function diaryOf(sql: Sql, organisationId: string): Promise<DiaryRow | null> {
  return first(
    sql,
    `SELECT g."timeZone", g."ownRules", g."version" AS "organisationVersion", g."kind", d."weekdays", d."hours", d."country", d."state", d."region", d."takesBookings", d."version" AS "diaryVersion" FROM "organisation" g LEFT JOIN "diary" d ON d."organisationId" = g."id" WHERE g."id" = ?`,
    [organisationId],
  );
}

/**
 * Holds an organisation's diary until the transaction ends: whoever books next sees what this one
 * has booked. Take it before any other lock.
 */
export async function lockDiary(sql: Sql, organisationId: string): Promise<void> {
  await sql.run('INSERT INTO "diary" ("organisationId") VALUES (?) ON CONFLICT DO NOTHING', [
    organisationId,
  ]);
  await sql.all(
    `SELECT "organisationId" FROM "diary" WHERE "organisationId" = ?${forUpdate(sql)}`,
    [organisationId],
  );
}

/** An organisation's own numbers, held until the transaction ends so that they can be changed. */
export function holdRules(
  sql: Sql,
  organisationId: string,
): Promise<{ ownRules: string; version: number } | null> {
  return first(
    sql,
    `SELECT "ownRules", "version" FROM "organisation" WHERE "id" = ?${forUpdate(sql)}`,
    [organisationId],
  );
}

export interface ClosureRow {
  fromOn: Day;
  untilOn: Day;
  words: string;
}

export function closuresOf(sql: Sql, organisationId: string): Promise<ClosureRow[]> {
  return sql.all(
    'SELECT "fromOn", "untilOn", "words" FROM "closure" WHERE "organisationId" = ? ORDER BY "fromOn", "id"',
    [organisationId],
  );
}

export async function replaceClosures(
  sql: Sql,
  organisationId: string,
  closures: readonly (ClosureRow & { id: string })[],
): Promise<void> {
  await sql.run('DELETE FROM "closure" WHERE "organisationId" = ?', [organisationId]);
  await insertRows(
    sql,
    'closure',
    closures.map(({ id, fromOn, untilOn, words }) => ({
      id,
      organisationId,
      fromOn,
      untilOn,
      words,
    })),
  );
}

/** A top as the diary knows it, with its car and whom to ask. */
export interface DiaryTopRow {
  topId: string;
  carId: string;
  registration: string;
  ownerId: string;
  ownerName: string;
  framePattern: string;
  material: 'vinyl' | 'cloth';
  powered: unknown;
  fittedOn: Day;
  retiredOn: Day | null;
  lubricatedOn: Day | null;
  intervalMonths: number;
  dueOn: Day;
  /** The visit after which joints want to be looked at again. */
  lookAfterOn: Day | null;
}

const TOP = `t."id" AS "topId", t."carId", c."registration", c."ownerId", o."name" AS "ownerName", t."framePattern", t."material", t."powered", t."fittedOn", t."retiredOn", t."lubricatedOn", t."intervalMonths", t."dueOn", t."lookAfterOn"`;
const TOP_FROM = `"top" t JOIN "car" c ON c."id" = t."carId" JOIN "owner" o ON o."id" = c."ownerId"`;

export function topForDiary(
  sql: Sql,
  organisationId: string,
  topId: string,
): Promise<DiaryTopRow | null> {
  return first(sql, `SELECT ${TOP} FROM ${TOP_FROM} WHERE t."id" = ? AND t."organisationId" = ?`, [
    topId,
    organisationId,
  ]);
}

const UNWRITABLE = `CASE WHEN s."deadSince" IS NOT NULL OR s."refusedTopics" LIKE '%"offers"%' THEN 1 ELSE 0 END AS "unwritable" FROM ${TOP_FROM} LEFT JOIN "address_standing" s ON s."organisationId" = o."organisationId" AND s."addressHash" = o."addressHash"`;

/** A top that falls due. */
export type DueTopRow = DiaryTopRow & {
  /** The next day for which its oiling is booked; of a look, for which anything is. */
  bookedOn: Day | null;
  /** Its owner takes no mail or wants no offers; read with `flag`. */
  unwritable: unknown;
};

/** Tops on cars that are due by a day. */
export function topsDueBy(
  sql: Sql,
  organisationId: string,
  until: Day,
  today: Day,
): Promise<DueTopRow[]> {
  return sql.all(
    `SELECT ${TOP}, (SELECT MIN(v."plannedOn") FROM "visit" v WHERE v."topId" = t."id" AND v."state" = 'booked' AND v."kind" = 'lubrication' AND v."plannedOn" >= ?) AS "bookedOn", ${UNWRITABLE} WHERE t."organisationId" = ? AND t."retiredOn" IS NULL AND o."erasedAt" IS NULL AND t."dueOn" <= ? ORDER BY t."dueOn", t."id"`,
    [today, organisationId, until],
  );
}

/**
 * Tops on cars whose joints ask for a look after a visit since a day, none of whose bookings is for
 * one, with the first day that anything is booked for.
 */
export function topsToLookAt(sql: Sql, organisationId: string, since: Day): Promise<DueTopRow[]> {
  return sql.all(
    `SELECT ${TOP}, (SELECT MIN(v."plannedOn") FROM "visit" v WHERE v."topId" = t."id" AND v."state" = 'booked') AS "bookedOn", ${UNWRITABLE} WHERE t."organisationId" = ? AND t."retiredOn" IS NULL AND o."erasedAt" IS NULL AND t."lookAfterOn" >= ? AND NOT EXISTS (SELECT 1 FROM "visit" v WHERE v."topId" = t."id" AND v."state" = 'booked' AND v."kind" = 'look') ORDER BY t."lookAfterOn", t."id"`,
    [organisationId, since],
  );
}

export type DiaryVisitRow = DiaryTopRow & {
  visitId: string;
  kind: VisitKind;
  on: Day;
  dropOffAt: Instant | null;
  readyAt: Instant | null;
  minutes: number | null;
};

/** Visits booked for the days from one to another, both included, in the order of their days. */
export function bookedBetween(
  sql: Sql,
  organisationId: string,
  from: Day,
  to: Day,
): Promise<DiaryVisitRow[]> {
  return sql.all(
    `SELECT v."id" AS "visitId", v."kind", v."plannedOn" AS "on", v."dropOffAt", v."readyAt", v."minutes", ${TOP} FROM ${TOP_FROM} JOIN "visit" v ON v."topId" = t."id" WHERE v."organisationId" = ? AND v."state" = 'booked' AND v."plannedOn" >= ? AND v."plannedOn" <= ? ORDER BY v."plannedOn", v."id"`,
    [organisationId, from, to],
  );
}

/** How many visits of each kind to each frame pattern were done, and what they took, from which the next are learned. */
export function minutesOfDoneVisits(
  sql: Sql,
  organisationId: string,
): Promise<(DoneVisits & { readonly framePattern: string; readonly kind: VisitKind })[]> {
  return sql.all(
    `SELECT t."framePattern", v."kind", COUNT(*) AS "visits", SUM(v."minutes") AS "minutes" FROM "visit" v JOIN "top" t ON t."id" = v."topId" WHERE v."organisationId" = ? AND v."state" = 'done' AND v."minutes" > 0 GROUP BY t."framePattern", v."kind"`,
    [organisationId],
  );
}

/** When the bench is manned, as its organisation says. */
export interface OpeningRow {
  /** 1 Monday to 7 Sunday. */
  readonly weekdays: readonly number[];
  readonly hours: object;
  readonly country: string | null;
  readonly state: string | null;
  readonly region: string | null;
  /** Null is what is usual for its kind. */
  readonly takesBookings: boolean | null;
}

/** Stores when the bench is manned, and counts the version up. */
export async function storeOpening(
  sql: Sql,
  organisationId: string,
  { weekdays, hours, country, state, region, takesBookings }: OpeningRow,
): Promise<void> {
  await sql.run(
    'UPDATE "diary" SET "weekdays" = ?, "hours" = ?, "country" = ?, "state" = ?, "region" = ?, "takesBookings" = ?, "version" = "version" + 1 WHERE "organisationId" = ?',
    [
      JSON.stringify(weekdays),
      JSON.stringify(hours),
      country,
      state,
      region,
      takesBookings,
      organisationId,
    ],
  );
}
