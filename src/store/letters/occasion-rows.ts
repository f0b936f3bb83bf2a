import type { LetterKind } from '../../domain/round/letter-kind.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG } from '../database/sql.ts';

/** The letters of a kind about some cars that have not arrived yet. Lock the cars before. */
export async function unsentLettersOf(
  sql: Sql,
  kind: LetterKind,
  carIds: readonly string[],
): Promise<string[]> {
  const rows = await sql.all<{ id: string }>(
    `SELECT DISTINCT l."id" FROM "letter_occasion" o JOIN "letter" l ON l."id" = o."letterId" WHERE o."carId" ${AMONG} AND o."kind" = ? AND l."state" IN ('planned', 'sending') ORDER BY l."id"`,
    [carIds, kind],
  );
  return rows.map(({ id }) => id);
}

/** Every car that these letters are about. */
export async function carsOfLetters(sql: Sql, letterIds: readonly string[]): Promise<string[]> {
  const rows = await sql.all<{ carId: string }>(
    `SELECT DISTINCT "carId" FROM "letter_occasion" WHERE "carId" IS NOT NULL AND "letterId" ${AMONG} ORDER BY "carId"`,
    [letterIds],
  );
  return rows.map(({ carId }) => carId);
}

/** Every letter that names a car and has not arrived yet. Lock the car before. */
export async function openLettersOfCar(sql: Sql, carId: string): Promise<string[]> {
  const rows = await sql.all<{ id: string }>(
    `SELECT DISTINCT l."id" FROM "letter_occasion" o JOIN "letter" l ON l."id" = o."letterId" WHERE o."carId" = ? AND l."state" IN ('planned', 'sending') ORDER BY l."id"`,
    [carId],
  );
  return rows.map(({ id }) => id);
}

/**
 * What the letters say that name these cars and have not arrived, of the kinds that a round can write
 * anew. Lock the cars before.
 */
export function rewritableOccasions(
  sql: Sql,
  carIds: readonly string[],
): Promise<{ letterId: string; kind: LetterKind; key: string }[]> {
  return sql.all(
    `SELECT o."letterId", o."kind", o."key" FROM "letter_occasion" o JOIN "letter" l ON l."id" = o."letterId" WHERE o."carId" ${AMONG} AND l."state" IN ('planned', 'sending') AND (l."kind" = 'visit-offered' OR l."kind" NOT LIKE 'visit-%') AND l."kind" <> 'club-letter' ORDER BY o."letterId", o."key"`,
    [carIds],
  );
}

/**
 * Gives a car's letters over with the car: what was told to others than its owner counts as told to them
 * alone, so that it can be told anew; what this owner was told of it before counts again. The report of a
 * visit is told once, to whoever had the car then. Lock the car before.
 */
export async function handOverOccasions(sql: Sql, carId: string, ownerId: string): Promise<void> {
  await sql.run(
    `UPDATE "letter_occasion" SET "key" = "key" || '#' || "ownerId" WHERE "carId" = ? AND "ownerId" <> ? AND "kind" <> 'visit-report' AND "key" NOT LIKE '%#%'`,
    [carId, ownerId],
  );
  await sql.run(
    `UPDATE "letter_occasion" SET "key" = SUBSTR("key", 1, LENGTH("key") - LENGTH("ownerId") - 1) WHERE "carId" = ? AND "ownerId" = ? AND "key" LIKE '%#' || "ownerId"`,
    [carId, ownerId],
  );
}
