import type { Visit } from '../generated/sqlite/client.ts';
import type { Place, Salt, Use } from '../../domain/lubrication/keeping.ts';
import type { Sql } from '../database/sql.ts';
import { marks } from '../database/sql.ts';

export interface FrameRow {
  carId: string;
  framePattern: string;
  place: Place | null;
  salt: Salt | null;
  use: Use | null;
}

/**
 * How the cars of an organisation, or some of them, are kept, with the frame pattern of the top that is
 * on each.
 */
export function framesOfCars(
  sql: Sql,
  organisationId: string,
  ofCars?: readonly string[],
): Promise<FrameRow[]> {
  const some = ofCars === undefined ? '' : ` AND c."id" IN (${marks(ofCars.length)})`;
  return sql.all(
    `SELECT c."id" AS "carId", t."framePattern", c."place", c."salt", c."use" FROM "car" c JOIN "top" t ON t."carId" = c."id" AND t."retiredOn" IS NULL WHERE c."organisationId" = ?${some}`,
    [organisationId, ...(ofCars ?? [])],
  );
}

/** What was measured at the frame on a visit. */
export type FrameMeasures = Pick<
  Visit,
  'swayMm' | 'diagonalLeftMm' | 'diagonalRightMm' | 'breakawayN'
> & { readonly doneOn: string };

/** What was measured at a top's frame on its visits, the oldest first. */
export function frameMeasures(sql: Sql, topId: string): Promise<FrameMeasures[]> {
  return sql.all(
    `SELECT "doneOn", "swayMm", "diagonalLeftMm", "diagonalRightMm", "breakawayN" FROM "visit" WHERE "topId" = ? AND "state" = 'done' ORDER BY "doneOn", "id"`,
    [topId],
  );
}
