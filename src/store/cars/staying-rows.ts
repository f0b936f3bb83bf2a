import type { Car, Owner, Top } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG } from '../database/sql.ts';

/** A car on which something was found that may forbid moving its top, with whom to ring. */
export type SuspectRow = Pick<Car, 'registration' | 'timeZone' | 'ownerId'> &
  Pick<Owner, 'phone'> & {
    readonly carId: Car['id'];
    readonly topId: Top['id'];
    readonly dueOn: Top['dueOn'];
    readonly ownerName: Owner['name'];
    /** Read it with `flag`. */
    readonly refusesCalls: unknown;
  };

const SUSPECT = `SELECT c."id" AS "carId", t."id" AS "topId", t."dueOn", c."registration", c."timeZone", c."ownerId", o."name" AS "ownerName", o."phone", o."refusesCalls" FROM "car" c JOIN "top" t ON t."carId" = c."id" AND t."retiredOn" IS NULL JOIN "owner" o ON o."id" = c."ownerId"`;

/** The same of some cars, whatever was found on them. */
export function suspectsAmong(sql: Sql, carIds: readonly string[]): Promise<SuspectRow[]> {
  return sql.all(`${SUSPECT} WHERE c."id" ${AMONG} ORDER BY c."id"`, [carIds]);
}

/**
 * The cars of an organisation at whose frame anything was ever found that could forbid moving the
 * top: one of some state words, play over a limit, washers short, one of some faults still open, or a
 * measure of the frame over a limit. Whether it does is for the rule to say. One query.
 */
export function suspectCars(
  sql: Sql,
  organisationId: string,
  signs: {
    readonly states: readonly string[];
    readonly faults: readonly string[];
    readonly playOverMm: number;
    readonly swayOverMm: number;
    readonly diagonalsOverMm: number;
  },
): Promise<SuspectRow[]> {
  return sql.all(
    `${SUSPECT} WHERE c."organisationId" = ? AND c."id" IN (
       SELECT p."carId" FROM "pivot" p JOIN "reading" r ON r."pivotId" = p."id" WHERE p."organisationId" = ? AND p."retiredOn" IS NULL AND (r."state" ${AMONG} OR r."axialPlayMm" > ? OR r."radialPlayMm" > ? OR r."washersPresent" < p."washersExpected")
       UNION SELECT v."carId" FROM "finding" f JOIN "visit" v ON v."id" = f."visitId" WHERE f."organisationId" = ? AND f."outcome" <> 'done' AND f."fault" ${AMONG}
       UNION SELECT v."carId" FROM "visit" v WHERE v."organisationId" = ? AND v."state" = 'done' AND (v."swayMm" > ? OR v."breakawayN" IS NOT NULL OR v."diagonalLeftMm" - v."diagonalRightMm" > ? OR v."diagonalRightMm" - v."diagonalLeftMm" > ?)
     ) ORDER BY c."id"`,
    [
      organisationId,
      organisationId,
      signs.states,
      signs.playOverMm,
      signs.playOverMm,
      organisationId,
      signs.faults,
      organisationId,
      signs.swayOverMm,
      signs.diagonalsOverMm,
      signs.diagonalsOverMm,
    ],
  );
}
