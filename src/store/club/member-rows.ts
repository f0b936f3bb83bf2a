import type { Day } from '../../domain/calendar/day.ts';
import type { Car, Owner, Top } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';

/** A member with one of the cars; one without any car stands there once. */
export type MemberRow = Pick<Owner, 'id' | 'name' | 'email' | 'phone' | 'postcode'> & {
  readonly carId: Car['id'] | null;
  readonly registration: Car['registration'] | null;
  readonly make: Car['make'];
  readonly model: Car['model'];
  readonly timeZone: string;
  readonly topId: Top['id'] | null;
  readonly dueOn: Day | null;
  readonly refusedTopics: string | null;
  /** How many kinds of record of the car its owner shares. */
  readonly shares: number;
};

/** The members of a club with their cars, by name. */
export function memberRows(sql: Sql, organisationId: string): Promise<MemberRow[]> {
  return sql.all(
    `SELECT o."id", o."name", o."email", o."phone", o."postcode", c."id" AS "carId", c."registration", c."make", c."model", o."timeZone", t."id" AS "topId", t."dueOn", s."refusedTopics", (SELECT COUNT(*) FROM "share" h WHERE h."carId" = c."id" AND h."organisationId" = o."organisationId" AND h."ownerId" = o."id" AND h."endedAt" IS NULL) AS "shares" FROM "owner" o LEFT JOIN "car" c ON c."ownerId" = o."id" LEFT JOIN "top" t ON t."carId" = c."id" AND t."retiredOn" IS NULL LEFT JOIN "address_standing" s ON s."organisationId" = o."organisationId" AND s."addressHash" = o."addressHash" WHERE o."organisationId" = ? AND o."erasedAt" IS NULL ORDER BY o."name", o."id", c."id"`,
    [organisationId],
  );
}

/** What was ever found on the cars that are in care now, a row a car and finding. */
export type FoundOnCarRow = {
  readonly carId: string;
  readonly framePattern: string;
  /** The kind of the joint and how it was; null for a fault of the list. */
  readonly joint: string | null;
  readonly state: string | null;
  readonly fault: string | null;
};

/** Every car that a visit looked at, with the joints that were not free and the faults found on it. */
export async function foundOnCars(sql: Sql, organisationId: string): Promise<FoundOnCarRow[]> {
  const cars = await sql.all<FoundOnCarRow>(
    `SELECT DISTINCT t."carId", t."framePattern", NULL AS "joint", NULL AS "state", NULL AS "fault" FROM "top" t JOIN "visit" v ON v."carId" = t."carId" WHERE t."organisationId" = ? AND t."retiredOn" IS NULL AND v."state" = 'done' AND (EXISTS (SELECT 1 FROM "reading" r WHERE r."visitId" = v."id") OR EXISTS (SELECT 1 FROM "finding" f WHERE f."visitId" = v."id"))`,
    [organisationId],
  );
  const joints = await sql.all<FoundOnCarRow>(
    `SELECT DISTINCT t."carId", t."framePattern", p."kind" AS "joint", CASE WHEN r."state" = 'free' THEN 'washer' ELSE r."state" END AS "state", NULL AS "fault" FROM "top" t JOIN "visit" v ON v."carId" = t."carId" JOIN "reading" r ON r."visitId" = v."id" JOIN "pivot" p ON p."id" = r."pivotId" WHERE t."organisationId" = ? AND t."retiredOn" IS NULL AND v."state" = 'done' AND (r."state" <> 'free' OR r."washersPresent" < p."washersExpected")`,
    [organisationId],
  );
  const faults = await sql.all<FoundOnCarRow>(
    `SELECT DISTINCT t."carId", t."framePattern", NULL AS "joint", NULL AS "state", f."fault" FROM "top" t JOIN "visit" v ON v."carId" = t."carId" JOIN "finding" f ON f."visitId" = v."id" WHERE t."organisationId" = ? AND t."retiredOn" IS NULL AND v."state" = 'done' AND f."fault" IS NOT NULL`,
    [organisationId],
  );
  return [...cars, ...joints, ...faults];
}
