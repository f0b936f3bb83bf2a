import type { Visit } from '../generated/sqlite/client.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { FrameReading } from '../../domain/frame/frame-readings.ts';
import type { Place, Salt, Use } from '../../domain/lubrication/keeping.ts';
import type { Sql } from '../database/sql.ts';
import { ONE_SIDE_LAGS } from '../../domain/may-move/move-findings.ts';
import { AMONG, flag } from '../database/sql.ts';

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
  const some = ofCars === undefined ? '' : ` AND c."id" ${AMONG}`;
  return sql.all(
    `SELECT c."id" AS "carId", t."framePattern", c."place", c."salt", c."use" FROM "car" c JOIN "top" t ON t."carId" = c."id" AND t."retiredOn" IS NULL WHERE c."organisationId" = ?${some}`,
    [organisationId, ...(ofCars === undefined ? [] : [ofCars])],
  );
}

type FrameMeasures = Pick<Visit, 'swayMm' | 'diagonalLeftMm' | 'diagonalRightMm' | 'breakawayN'> & {
  readonly doneOn: Day;
  readonly lags: unknown;
};

/** What was measured at a top's frame on its visits, the oldest first, with where one side was found to lag. */
export async function frameReadings(sql: Sql, topId: string): Promise<FrameReading[]> {
  const rows = await sql.all<FrameMeasures>(
    `SELECT v."doneOn", v."swayMm", v."diagonalLeftMm", v."diagonalRightMm", v."breakawayN", EXISTS (SELECT 1 FROM "finding" f WHERE f."visitId" = v."id" AND f."fault" = ? AND f."outcome" <> 'done') AS "lags" FROM "visit" v WHERE v."topId" = ? AND v."state" = 'done' ORDER BY v."doneOn", v."id"`,
    [ONE_SIDE_LAGS, topId],
  );
  return rows.map((row) => {
    const { doneOn, swayMm, diagonalLeftMm: left, diagonalRightMm: right, breakawayN } = row;
    return {
      doneOn,
      swayMm: swayMm ?? undefined,
      diagonalsMm: left === null || right === null ? undefined : { left, right },
      // A force of 0 N was typed to say "not measured": no frame starts by itself.
      breakawayN: breakawayN === null || breakawayN === 0 ? undefined : breakawayN,
      // That nobody wrote it down does not say that both sides went together.
      oneSideLags: flag(row.lags) ? true : undefined,
    };
  });
}
