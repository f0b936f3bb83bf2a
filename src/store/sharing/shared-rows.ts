import type { Finding, Letter, Pivot, Reading, Visit } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';

// Nothing that was written freely, no minutes, no price and nobody's name: what was done and found.
const SHOWN = 60;

export type SharedVisitRow = Pick<Visit, 'id' | 'kind'> & { readonly doneOn: string };

/** The visits that took place on a car, the newest first. */
export function sharedVisits(
  sql: Sql,
  organisationId: string,
  carId: string,
): Promise<SharedVisitRow[]> {
  return sql.all(
    `SELECT "id", "kind", "doneOn" FROM "visit" WHERE "organisationId" = ? AND "carId" = ? AND "state" = 'done' AND "doneOn" IS NOT NULL ORDER BY "doneOn" DESC, "id" DESC LIMIT ?`,
    [organisationId, carId, SHOWN],
  );
}

export type SharedReadingRow = Pick<
  Reading,
  'visitId' | 'state' | 'washersPresent' | 'axialPlayMm' | 'radialPlayMm'
> &
  Pick<Pivot, 'code' | 'washersExpected'> & {
    /** Read with `flag`. */
    readonly oiled: unknown;
    readonly repaired: unknown;
  };

/** What was read at the joints on the visits of a car. */
export function sharedReadings(
  sql: Sql,
  organisationId: string,
  carId: string,
): Promise<SharedReadingRow[]> {
  return sql.all(
    `SELECT r."visitId", r."state", r."oiled", r."repaired", r."washersPresent", r."axialPlayMm", r."radialPlayMm", p."code", p."washersExpected" FROM "reading" r JOIN "pivot" p ON p."id" = r."pivotId" JOIN "visit" v ON v."id" = r."visitId" WHERE v."organisationId" = ? AND v."carId" = ? AND v."state" = 'done' ORDER BY r."doneOn" DESC, p."place"`,
    [organisationId, carId],
  );
}

/** The known faults that were found, by their names. */
export function sharedFaults(
  sql: Sql,
  organisationId: string,
  carId: string,
): Promise<Pick<Finding, 'visitId' | 'fault' | 'outcome'>[]> {
  return sql.all(
    `SELECT f."visitId", f."fault", f."outcome" FROM "finding" f JOIN "visit" v ON v."id" = f."visitId" WHERE v."organisationId" = ? AND v."carId" = ? AND v."state" = 'done' AND f."fault" IS NOT NULL ORDER BY f."id"`,
    [organisationId, carId],
  );
}

/** The letters about a car that reached its owner, the newest first; alarms of a folded top not. */
export function sharedLetters(
  sql: Sql,
  organisationId: string,
  carId: string,
): Promise<Pick<Letter, 'kind' | 'messageDate'>[]> {
  return sql.all(
    `SELECT DISTINCT l."id", l."kind", l."messageDate" FROM "letter" l JOIN "letter_occasion" o ON o."letterId" = l."id" WHERE l."organisationId" = ? AND o."carId" = ? AND l."state" = 'delivered' AND l."kind" NOT LIKE 'folded-%' AND l."ownerId" = (SELECT c."ownerId" FROM "car" c WHERE c."id" = o."carId") ORDER BY l."messageDate" DESC LIMIT ?`,
    [organisationId, carId, SHOWN],
  );
}
