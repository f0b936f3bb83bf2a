import type { Place, Salt } from '../../domain/lubrication/keeping.ts';
import type { Sql } from '../database/sql.ts';

export interface FrameRow {
  carId: string;
  framePattern: string;
  place: Place;
  salt: Salt;
}

/** How each car of an organisation is kept, with the frame pattern of the top that is on it. */
export function framesOfCars(sql: Sql, organisationId: string): Promise<FrameRow[]> {
  return sql.all(
    `SELECT c."id" AS "carId", t."framePattern", c."place", c."salt" FROM "car" c JOIN "top" t ON t."carId" = c."id" AND t."retiredOn" IS NULL WHERE c."organisationId" = ?`,
    [organisationId],
  );
}
