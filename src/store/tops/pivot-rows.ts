import type { Pivot, Top } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { insertRows } from '../database/sql.ts';
import type { Records } from '../database/store.ts';

/** A pivot as a frame pattern draws it. */
export type DrawnPivot = Pick<Pivot, 'code' | 'side' | 'kind' | 'washersExpected'>;

/** The same with its place on the frame, under the id that readings name it by. */
export type PivotRow = DrawnPivot & Pick<Pivot, 'id' | 'place'>;

type TopOnCar = Pick<Top, 'carId' | 'fittedOn' | 'retiredOn'>;

const PLACED = 'SELECT "id", "code", "side", "kind", "washersExpected", "place" FROM "pivot"';
const DRAWN = 'SELECT "code", "side", "kind", "washersExpected" FROM "pivot"';
const ON_THE_CAR = 'WHERE "carId" = ? AND "retiredOn" IS NULL ORDER BY "place"';
const THEN_ON_THE_CAR =
  'WHERE "carId" = ? AND "since" <= ? AND ("retiredOn" IS NULL OR "retiredOn" > ?) ORDER BY "place"';
const PLACED_NOW = `${PLACED} ${ON_THE_CAR}`;
const DRAWN_NOW = `${DRAWN} ${ON_THE_CAR}`;

/** The pivots that a top has, or had while it was on the car, from the body forward. */
export function pivotsOf(sql: Sql, top: TopOnCar): Promise<PivotRow[]> {
  const { carId, fittedOn, retiredOn } = top;
  return retiredOn === null
    ? sql.all(PLACED_NOW, [carId])
    : sql.all(`${PLACED} ${THEN_ON_THE_CAR}`, [carId, retiredOn, fittedOn]);
}

/** The same, where only what they are is told. */
export function drawnPivotsOf(sql: Sql, top: TopOnCar): Promise<DrawnPivot[]> {
  const { carId, fittedOn, retiredOn } = top;
  return retiredOn === null
    ? sql.all(DRAWN_NOW, [carId])
    : sql.all(`${DRAWN} ${THEN_ON_THE_CAR}`, [carId, retiredOn, fittedOn]);
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
  sql: Sql,
  rows: readonly Omit<Pivot, 'retiredOn'>[],
): Promise<void> {
  await insertRows(sql, 'pivot', rows);
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
