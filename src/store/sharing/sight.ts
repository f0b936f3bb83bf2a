import type { LetterKind } from '../../domain/round/letter-kind.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, first } from '../database/sql.ts';

// Letters of these kinds say by themselves that a top stands folded; they are about nothing else besides.
const FOLDED = 'folded-';

/**
 * Of a car `c`: that its organisation is a club and its owner has not shared with it where the top
 * stands. A shop is told of it for its work; a club sees what its members shared.
 */
export const UNSEEN = `(EXISTS (SELECT 1 FROM "organisation" ug WHERE ug."id" = c."organisationId" AND ug."kind" = 'club') AND NOT EXISTS (SELECT 1 FROM "share" us WHERE us."carId" = c."id" AND us."organisationId" = c."organisationId" AND us."toOrganisationId" = c."organisationId" AND us."ownerId" = c."ownerId" AND us."kind" = 'positions' AND us."endedAt" IS NULL))`;

// The one care note that nothing but the log makes timely; it says so in its first words.
const FROM_LOG = 'care-note:%:folded-damp-raise-today:%';

/** Of a letter `l`: that it says where the top of such a car stands. */
export const UNSEEN_LETTER = `((l."kind" LIKE '${FOLDED}%' OR EXISTS (SELECT 1 FROM "letter_occasion" un WHERE un."letterId" = l."id" AND un."key" LIKE '${FROM_LOG}')) AND EXISTS (SELECT 1 FROM "letter_occasion" uo JOIN "car" c ON c."id" = uo."carId" WHERE uo."letterId" = l."id" AND ${UNSEEN}))`;

/** Whether an organisation may not see where the top of one of its cars stands. */
export async function isUnseen(sql: Sql, carId: string): Promise<boolean> {
  return (
    (await first(sql, `SELECT c."id" FROM "car" c WHERE c."id" = ? AND ${UNSEEN}`, [carId])) !==
    null
  );
}

/**
 * Of the cars that somebody has or had, those whose positions her club may not see: what she did not
 * share with it, and what she cannot share any more, since the car is another's. Empty for a shop.
 */
export async function unseenCarsOf(
  sql: Sql,
  ownerId: string,
  carIds: readonly string[],
): Promise<string[]> {
  const rows = await sql.all<{ id: string }>(
    `SELECT c."id" FROM "car" c JOIN "organisation" g ON g."id" = c."organisationId" WHERE c."id" ${AMONG} AND g."kind" = 'club' AND (c."ownerId" <> ? OR ${UNSEEN}) ORDER BY c."id"`,
    [carIds, ownerId],
  );
  return rows.map(({ id }) => id);
}

/** Of letters on record, by id, those that say where the top of one of some cars stands, or stood. */
export async function positionLetters(
  sql: Sql,
  ownerId: string,
  carIds: readonly string[],
): Promise<string[]> {
  const rows = await sql.all<{ id: string }>(
    `SELECT DISTINCT l."id" FROM "letter" l JOIN "letter_occasion" o ON o."letterId" = l."id" WHERE l."ownerId" = ? AND o."carId" ${AMONG} AND (l."kind" LIKE '${FOLDED}%' OR o."key" LIKE '${FROM_LOG}')`,
    [ownerId, carIds],
  );
  return rows.map(({ id }) => id);
}

const ofUnseenCar = (row: string) =>
  `EXISTS (SELECT 1 FROM "car" c WHERE c."id" = ${row}."carId" AND ${UNSEEN})`;
const ofUnseenLetter = (id: string) =>
  `EXISTS (SELECT 1 FROM "letter" l WHERE l."id" = ${id} AND ${UNSEEN_LETTER})`;

// Of a car that is gone nobody shares anything.
const OF_GONE_CAR = `(NOT EXISTS (SELECT 1 FROM "car" gc WHERE gc."id" = r."carId") AND EXISTS (SELECT 1 FROM "organisation" gg WHERE gg."id" = r."organisationId" AND gg."kind" = 'club'))`;

/** Of a line `r` of the trail: that it tells where such a top stands, or stood. */
export const UNSEEN_TRAIL = `(r."kind" = 'position_entry' AND (${ofUnseenCar('r')} OR ${OF_GONE_CAR}))`;

/**
 * The rows `r` of each table that tell where such a top stands, or stood: what an organisation takes
 * out of its records is without them. Tables that are not named tell nothing of it.
 */
export const UNSEEN_ROWS = {
  position_entry: ofUnseenCar('r'),
  letter: ofUnseenLetter('r."id"'),
  letter_occasion: ofUnseenLetter('r."letterId"'),
  report: ofUnseenLetter('r."letterId"'),
  trail: UNSEEN_TRAIL,
} as const satisfies Readonly<Record<string, string>>;

/** Which letters that were written, or would be, an organisation may see. A shop sees all. */
export async function whatIsSeen(
  sql: Sql,
  organisationId: string,
): Promise<(letter: { readonly kind: LetterKind; readonly carIds: readonly string[] }) => boolean> {
  const rows = await sql.all<{ id: string }>(
    `SELECT c."id" FROM "organisation" g JOIN "car" c ON c."organisationId" = g."id" WHERE g."id" = ? AND g."kind" = 'club' AND ${UNSEEN}`,
    [organisationId],
  );
  const unseen = new Set(rows.map(({ id }) => id));
  return ({ kind, carIds }) => !kind.startsWith(FOLDED) || !carIds.some((id) => unseen.has(id));
}

const IDS_AT_ONCE = 500;

/** Of letters on record, by id, those that their organisation may see. */
export async function seenLetters(sql: Sql, ids: readonly string[]): Promise<string[]> {
  const unseen = new Set<string>();
  for (let start = 0; start < ids.length; start += IDS_AT_ONCE) {
    const part = ids.slice(start, start + IDS_AT_ONCE);
    const rows = await sql.all<{ id: string }>(
      `SELECT l."id" FROM "letter" l WHERE l."id" ${AMONG} AND ${UNSEEN_LETTER}`,
      [part],
    );
    for (const { id } of rows) unseen.add(id);
  }
  return ids.filter((id) => !unseen.has(id));
}
