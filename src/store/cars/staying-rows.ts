import type { Car, Owner, Top } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG } from '../database/sql.ts';

/** A car whose top may have to stay, with whom to ring. */
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

/** Some cars with whom to ring about them, whatever was found on them. */
export function suspectsAmong(sql: Sql, carIds: readonly string[]): Promise<SuspectRow[]> {
  return sql.all(`${SUSPECT} WHERE c."id" ${AMONG} ORDER BY c."id"`, [carIds]);
}
