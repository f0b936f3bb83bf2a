import { WITH_ALL_THEIRS } from '../database/kept-triggers.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { CareDayFacts } from '../../domain/round/car-facts.ts';
import type { Car, CareDayPlace, Owner, Top, Visit } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, first, forUpdate, insertRows } from '../database/sql.ts';

/** A car on a care day with its owner, the top that is on it, and the visit that is its time. */
export type PlaceRow = Omit<CareDayPlace, 'createdAt' | 'organisationId'> &
  Pick<Car, 'registration' | 'ownerId'> & {
    readonly timeZone: string;
    readonly ownerName: Owner['name'];
    readonly language: Owner['language'];
    readonly erasedAt: Instant | null;
    /** Null where no top is on the car. */
    readonly topId: Top['id'] | null;
    /** Read with `flag`. */
    readonly powered: unknown;
    readonly dueOn: Day | null;
    readonly visitState: Visit['state'] | null;
    readonly plannedOn: Day | null;
    readonly dropOffAt: Instant | null;
    readonly readyAt: Instant | null;
    readonly visitVersion: Visit['version'] | null;
    /** The visit that was recorded in the place of the booking. */
    readonly closedBy: Visit['closedBy'];
  };

const PLACES = `SELECT p."id", p."careDayId", p."carId", p."answer", p."asked", p."waitingSince", p."visitId", p."bench", p."helperId", p."minutes", p."version", c."registration", c."ownerId", c."timeZone", o."name" AS "ownerName", o."language", o."erasedAt", t."id" AS "topId", t."powered", t."dueOn", v."state" AS "visitState", v."plannedOn", v."dropOffAt", v."readyAt", v."version" AS "visitVersion", v."closedBy" FROM "care_day_place" p JOIN "car" c ON c."id" = p."carId" JOIN "owner" o ON o."id" = c."ownerId" LEFT JOIN "top" t ON t."carId" = c."id" AND t."retiredOn" IS NULL LEFT JOIN "visit" v ON v."id" = p."visitId"`;

/** The cars of a care day, those that were put on its list first at the head. */
export function placesOn(sql: Sql, organisationId: string, careDayId: string): Promise<PlaceRow[]> {
  return sql.all(
    `${PLACES} WHERE p."organisationId" = ? AND p."careDayId" = ? ORDER BY p."createdAt", p."id"`,
    [organisationId, careDayId],
  );
}

/** A car on some care day; null where the organisation has no such. */
export function placeNamed(sql: Sql, organisationId: string, id: string): Promise<PlaceRow | null> {
  return first(sql, `${PLACES} WHERE p."organisationId" = ? AND p."id" = ?`, [organisationId, id]);
}

/** The care day whose time a visit is; null for a visit of any other kind. */
export function placeOfVisit(
  sql: Sql,
  visitId: string,
): Promise<{ id: string; careDayId: string; heldOn: Day; place: string } | null> {
  return first(
    sql,
    'SELECT p."id", p."careDayId", d."heldOn", d."place" FROM "care_day_place" p JOIN "care_day" d ON d."id" = p."careDayId" WHERE p."visitId" = ?',
    [visitId],
  );
}

/** The care day on which a visit was booked, or of whose time a visit took the place; null for others. */
export function careDayOf(
  sql: Sql,
  organisationId: string,
  visitId: string,
): Promise<{ id: string; heldOn: Day } | null> {
  return first(
    sql,
    'SELECT d."id", d."heldOn" FROM "care_day_place" p JOIN "care_day" d ON d."id" = p."careDayId" JOIN "visit" v ON v."id" = p."visitId" WHERE v."organisationId" = ? AND (v."id" = ? OR v."closedBy" = ?) ORDER BY d."heldOn" DESC LIMIT 1',
    [organisationId, visitId, visitId],
  );
}

export interface NewPlace {
  readonly id: string;
  readonly organisationId: string;
  readonly careDayId: string;
  readonly carId: string;
  readonly createdAt: Instant;
}

/** Puts cars on the list of a care day and asks their owners; those on it already stay as they are. */
export async function insertPlaces(sql: Sql, places: readonly NewPlace[]): Promise<number> {
  const rows = places.map((place) => ({ ...place, answer: 'asked' }));
  return insertRows(sql, 'care_day_place', rows, true);
}

export type PlaceChange = Pick<
  CareDayPlace,
  'answer' | 'asked' | 'waitingSince' | 'visitId' | 'bench' | 'helperId' | 'minutes'
>;

/** Changes a place at its version; a count of 0 where somebody changed it meanwhile. */
export async function changePlace(
  sql: Sql,
  { id, version, ...before }: Pick<PlaceRow, 'id' | 'version'> & PlaceChange,
  change: Partial<PlaceChange>,
): Promise<{ count: number }> {
  const { answer, asked, waitingSince, visitId, bench, helperId, minutes } = {
    ...before,
    ...change,
  };
  const count = await sql.run(
    'UPDATE "care_day_place" SET "answer" = ?, "asked" = ?, "waitingSince" = ?, "visitId" = ?, "bench" = ?, "helperId" = ?, "minutes" = ?, "version" = "version" + 1 WHERE "id" = ? AND "version" = ?',
    [answer, asked, waitingSince, visitId, bench, helperId, minutes, id, version],
  );
  return { count };
}

/** Takes a car off the list of a care day. */
export async function removePlace(
  sql: Sql,
  { id, version }: Pick<PlaceRow, 'id' | 'version'>,
): Promise<{ count: number }> {
  const count = await sql.run('DELETE FROM "care_day_place" WHERE "id" = ? AND "version" = ?', [
    id,
    version,
  ]);
  return { count };
}

/** Cars of an organisation that have a top and are on no list of a care day, the soonest due first. */
export function carsToAsk(
  sql: Sql,
  organisationId: string,
  careDayId: string,
): Promise<
  {
    carId: string;
    registration: string;
    ownerId: string;
    ownerName: string;
    timeZone: string;
    dueOn: Day;
    booked: number;
  }[]
> {
  return sql.all(
    `SELECT c."id" AS "carId", c."registration", c."timeZone", o."id" AS "ownerId", o."name" AS "ownerName", t."dueOn", (SELECT COUNT(*) FROM "visit" v WHERE v."carId" = c."id" AND v."state" = 'booked' AND v."kind" = 'lubrication') AS "booked" FROM "car" c JOIN "owner" o ON o."id" = c."ownerId" JOIN "top" t ON t."carId" = c."id" AND t."retiredOn" IS NULL WHERE c."organisationId" = ? AND o."erasedAt" IS NULL AND NOT EXISTS (SELECT 1 FROM "care_day_place" p WHERE p."careDayId" = ? AND p."carId" = c."id") ORDER BY t."dueOn", c."id"`,
    [organisationId, careDayId],
  );
}

/** What the round says of care days: of each car, where its owner may choose a time. */
export type AskedRow = {
  readonly carId: string;
  readonly placeId: string;
  readonly asked: number;
  readonly heldOn: Day;
  readonly place: string;
  readonly fromTime: string;
  readonly untilTime: string;
};

/** The same as the round takes it. */
export function careDayFactsOf({
  placeId,
  asked,
  heldOn,
  place,
  fromTime,
  untilTime,
}: AskedRow): CareDayFacts {
  return { placeId, asked, heldOn, place, from: fromTime, until: untilTime };
}

/** The care days that these cars are asked to and have no time on, the soonest first. */
export function askedToCareDays(sql: Sql, carIds: readonly string[]): Promise<AskedRow[]> {
  return sql.all(
    `SELECT p."carId", p."id" AS "placeId", p."asked", d."heldOn", d."place", d."fromTime", d."untilTime" FROM "care_day_place" p JOIN "care_day" d ON d."id" = p."careDayId" LEFT JOIN "visit" v ON v."id" = p."visitId" WHERE p."carId" ${AMONG} AND p."answer" = 'asked' AND d."state" = 'open' AND (v."id" IS NULL OR (v."state" <> 'booked' AND v."closedBy" IS NULL AND v."state" <> 'done')) ORDER BY d."heldOn", p."id"`,
    [carIds],
  );
}

/**
 * Holds the cars of a care day, and those that stand in open offers, until the transaction ends: letters
 * are written car by car, and cars must be locked in one order everywhere. Call it before anything else
 * that locks a car.
 */
export async function lockCarsOnDay(
  sql: Sql,
  organisationId: string,
  careDayId: string,
): Promise<void> {
  if (sql.dialect === 'sqlite') return;
  await sql.all(
    `WITH "named" AS (SELECT "id" FROM "car" WHERE "organisationId" = ? AND ("id" IN (SELECT "carId" FROM "care_day_place" WHERE "careDayId" = ?) OR "id" IN (SELECT t."carId" FROM "offer" f JOIN "top" t ON t."id" = f."topId" WHERE f."organisationId" = ? AND f."state" = 'open')))${WITH_ALL_THEIRS}${forUpdate(sql)}`,
    [organisationId, careDayId, organisationId],
  );
}
