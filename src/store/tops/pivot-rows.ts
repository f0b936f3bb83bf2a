import type { Pivot, Top } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import type { Records } from '../database/store.ts';

/** A pivot as it is drawn. */
export type PivotRow = Pick<Pivot, 'id' | 'code' | 'side' | 'kind' | 'washersExpected' | 'place'>;

const DRAWN = 'SELECT "id", "code", "side", "kind", "washersExpected", "place" FROM "pivot"';
const ON_THE_CAR = `${DRAWN} WHERE "carId" = ? AND "retiredOn" IS NULL ORDER BY "place"`;

/** The pivots that a top has, or had while it was on the car, from the body forward. */
export function pivotsOf(
  sql: Sql,
  { carId, fittedOn, retiredOn }: Pick<Top, 'carId' | 'fittedOn' | 'retiredOn'>,
): Promise<PivotRow[]> {
  return retiredOn === null
    ? sql.all(ON_THE_CAR, [carId])
    : sql.all(
        `${DRAWN} WHERE "carId" = ? AND "since" <= ? AND ("retiredOn" IS NULL OR "retiredOn" > ?) ORDER BY "place"`,
        [carId, retiredOn, fittedOn],
      );
}

/** The pivots that the frame of a car has now. */
export function pivotsOnCar(records: Records, carId: string): Promise<Pivot[]> {
  return records.pivot.findMany({ where: { carId, retiredOn: null } });
}

/** Ends pivots that a new frame does not have. */
export async function retirePivots(
  records: Records,
  ids: readonly string[],
  retiredOn: string,
): Promise<void> {
  if (ids.length === 0) return;
  await records.pivot.updateMany({ where: { id: { in: [...ids] } }, data: { retiredOn } });
}

/** Adds the pivots of a frame. */
export async function insertPivots(
  records: Records,
  rows: readonly Omit<Pivot, 'retiredOn'>[],
): Promise<void> {
  await records.pivot.createMany({ data: [...rows] });
}

/** Moves the day on which a frame came to a car, and those before it went. */
export async function movePivotDays(
  records: Records,
  { carId, from, to }: { readonly carId: string; readonly from: string; readonly to: string },
): Promise<void> {
  await records.pivot.updateMany({ where: { carId, since: from }, data: { since: to } });
  await records.pivot.updateMany({ where: { carId, retiredOn: from }, data: { retiredOn: to } });
}

/** Puts a car's pivots back to what they were before a frame that was never on it. */
export async function dropPivotsSince(records: Records, carId: string, day: string): Promise<void> {
  await records.pivot.deleteMany({ where: { carId, since: day } });
  await records.pivot.updateMany({ where: { carId, retiredOn: day }, data: { retiredOn: null } });
}
